// The lists that go with a setting-out, and the pages they stand on.
#include <algorithm>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "report/setting_out_parts.h"

namespace rakelight {

std::string short_id(const std::string& id) { return id.substr(id.find('/') + 1); }

std::optional<Verdict> verdict_of(const SettingOut& f, const std::string& id) {
  if (!f.judged) return std::nullopt;
  for (const JointResult& r : f.judged->joints)
    if (r.joint.line.id == id) return r.worst < 0 ? Verdict::hidden : r.seen[static_cast<std::size_t>(r.worst)].judged.verdict;
  return std::nullopt;
}

std::vector<const PlacedJoint*> placed(const Relief& relief) {
  std::vector<const PlacedJoint*> out;
  for (const PlacedJoint& p : relief.joints)
    if (joins_sheets(p.line.kind)) out.push_back(&p);
  return out;
}

Relief relief_of(const SettingOut& f) {
  Relief relief;
  if (f.judged) {
    for (const JointResult& r : f.judged->joints) relief.joints.push_back(r.joint);
    return relief;
  }
  const std::string level = *f.study->job.surfaces[static_cast<std::size_t>(f.study->room.surfaces[static_cast<std::size_t>(f.plan->surface)].spec)].level;
  return finished_relief(*f.study, f.plan->layout, f.plan->surface, {f.plan->layout.run, level});
}

const Cut* cut_of(const SettingOut& f, int sheet) {
  if (!f.cutting) return nullptr;
  for (const Cut& c : f.cutting->cuts)
    if (c.surface == f.plan->surface && c.sheet == sheet) return &c;
  return nullptr;
}

dvec2 cut_size(const SettingOut& f, int sheet) {
  if (const Cut* c = cut_of(f, sheet)) return c->size;
  const Rect r = turned(f.plan->layout.sheets[static_cast<std::size_t>(sheet)].outline, f.plan->layout.run);
  return {r.height(), r.width()};
}

std::vector<SiteTable> site_tables(const SettingOut& f) {
  const Units units = f.study->job.units;
  const Surface& face = f.study->room.surfaces[static_cast<std::size_t>(f.plan->surface)];
  const dvec2 corner = face.box.lo;
  auto text = [&](double m) { return site_text(units, m); };
  SiteTable sheets{"Sheets", {{"sheet", "cut to", "left edge", "lower edge", "from stock", "work"}}};
  for (std::size_t i = 0; i < f.plan->layout.sheets.size(); ++i) {
    const Sheet& sheet = f.plan->layout.sheets[i];
    const dvec2 size = cut_size(f, static_cast<int>(i));
    std::string work, from = "–";
    if (const Cut* c = cut_of(f, static_cast<int>(i))) {
      auto add = [&](bool is, const char* what) { work += is ? (work.empty() ? "" : ", ") + std::string(what) : ""; };
      add(c->ripped, "rip");
      add(c->shortened, "cut to length");
      add(c->cut_out, "cut out");
      from = fmt::format("{}{}", c->stock, c->offcut ? " (offcut)" : "");
    }
    sheets.rows.push_back({std::to_string(i + 1), text(size.x) + " × " + text(size.y), text(sheet.outline.lo.x - corner.x), text(sheet.outline.lo.y - corner.y), from, work.empty() ? "full sheet" : work});
  }
  SiteTable joints{"Joints", {{"joint", "kind", "from left", "from floor", "length", "feather left", "feather right", "pulls", "verdict"}}};
  if (face.kind == Surface::Kind::ceiling) joints.rows[0][3] = "from lower edge";
  const Relief relief = relief_of(f);
  for (const PlacedJoint* p : placed(relief)) {
    const Feather feather = feather_of(*p, *f.study->job.finishing.tools);
    const std::optional<Verdict> v = verdict_of(f, p->line.id);
    joints.rows.push_back({short_id(p->line.id), kind_text(p->line.kind), text(p->line.from.x - corner.x), text(p->line.from.y - corner.y), text(p->line.length()),
                           text(feather.left), text(feather.right), feather.one_pull ? "one" : "each side", v ? verdict_text(*v) : "–"});
  }
  std::vector<SiteTable> out{sheets, joints};
  if (!f.plan->framing.at.empty()) {
    SiteTable members{f.plan->framing.upright ? "Members, from the left" : "Members, from the lower edge", {{"member", "centre", "mark"}}};
    for (std::size_t i = 0; i < f.plan->framing.at.size(); ++i)
      members.rows.push_back({std::to_string(i + 1), text(f.plan->framing.at[i] - (f.plan->framing.upright ? corner.x : corner.y)), face.kind == Surface::Kind::wall ? "floor and ceiling" : "both walls"});
    out.push_back(members);
  }
  SiteTable blocks{"Behind the board", {{"what", "from left", "from floor", "size"}}};
  for (const Block& b : f.plan->blocks)
    blocks.rows.push_back({b.what, text(b.at.lo.x - corner.x), text(b.at.lo.y - corner.y), text(b.at.width()) + " × " + text(b.at.height())});
  if (blocks.rows.size() > 1) out.push_back(blocks);
  SiteTable broken{"Rules broken", {{"rule", "where", "what"}}};
  for (const Breach& b : f.plan->breaches)
    broken.rows.push_back({std::string(b.rule->id) + (b.relaxed ? " (relaxed)" : ""), b.joint.empty() ? "–" : short_id(b.joint), b.what});
  if (broken.rows.size() > 1) out.push_back(broken);
  return out;
}

SiteTable stock_table(const Study& study, const Cutting& cutting) {
  SiteTable table{"Sheets to buy", {{"size", "count", "mass each", "lift"}}};
  const AccessSpec& a = study.job.access;
  for (const StockUse& use : cutting.stock) {
    const double kg = use.width * use.length * *a.board_mass;
    const int people = people_for(kg, *a.each_kg);
    table.rows.push_back({site_text(study.job.units, use.width) + " × " + site_text(study.job.units, use.length), std::to_string(use.count), in_units(study.job.units, fmt::format("{:.0f} kg", kg)),
                          *a.hoist ? "hoist" : people == 0 ? "hoist only" : people == 1 ? "1 person" : fmt::format("{} people", people)});
  }
  table.rows.push_back({"hung again from offcuts", std::to_string(cutting.reused), "", ""});
  table.rows.push_back({"waste", fmt::format("{:.0f} %", 100 * cutting.waste()), "", "usual to order: 10 % on walls, 15 % on ceilings"});
  return table;
}

std::vector<Drawing> table_pages(const std::string& title, const std::vector<SiteTable>& tables, dvec2 paper) {
  std::vector<Drawing> out;
  constexpr double side = 12, row = 4.6, size = 2.7;
  double y = 1e9, x = side, column_end = 0;
  auto fresh = [&] {
    Drawing d;
    d.width = paper.x;
    d.height = paper.y;
    d.say({side, 13}, title + (out.empty() ? ": lists" : ": lists, continued"), 5, Words::Anchor::start, true);
    out.push_back(d);
    y = 24;
    x = side;
    column_end = 0;
  };
  for (const SiteTable& table : tables) {
    std::vector<double> widths;
    for (const auto& cells : table.rows)
      for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i >= widths.size()) widths.push_back(0);
        std::size_t shown = 0;
        for (char c : cells[i]) shown += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
        widths[i] = std::max(widths[i], (&cells == &table.rows[0] ? 0.68 : 0.6) * size * static_cast<double>(shown) + 3);
      }
    double width = 0;
    for (double w : widths) width += w;
    width = std::min(width, paper.x - 2 * side);
    const auto head = [&](bool continued) {
      Drawing& d = out.back();
      d.say({x, y}, table.title + (continued ? ", continued" : ""), 3.4, Words::Anchor::start, true);
      y += 1.3 * row;
    };
    auto next_column = [&] {
      if (!out.empty() && column_end > 0 && column_end + 10 + width <= paper.x - side) {
        x = column_end + 10;
        y = 24;
      } else {
        fresh();
      }
    };
    if (y + 4 * row > paper.y - 10) next_column();
    head(false);
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      if (y > paper.y - 10) {
        next_column();
        head(true);
      }
      double at = x;
      for (std::size_t i = 0; i < table.rows[r].size(); ++i) {
        std::string cell = table.rows[r][i];
        const auto room = static_cast<std::size_t>(std::max(4.0, (paper.x - side - at) / (0.56 * size)));
        if (cell.size() > room) {
          std::size_t end = room - 1;
          while (end > 0 && (static_cast<unsigned char>(cell[end]) & 0xC0u) == 0x80u) --end;
          cell = cell.substr(0, end) + "…";
        }
        out.back().say({at, y}, cell, size, Words::Anchor::start, r == 0);
        at += widths[i];
      }
      y += row;
    }
    column_end = std::max(column_end, x + width);
    y += row;
  }
  return out;
}

}  // namespace rakelight
