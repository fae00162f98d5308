// Setting out for other programs and for the telephone: DXF, CSV, HTML.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/setting_out.h"

namespace rakelight {
namespace {

const Surface& face_of(const SettingOut& f) { return f.study->room.surfaces[static_cast<std::size_t>(f.plan->surface)]; }

std::string verdict_word(const SettingOut& f, const std::string& id) {
  if (!f.judged) return "";
  for (const JointResult& r : f.judged->joints)
    if (r.joint.line.id == id) return r.worst < 0 ? "hidden" : verdict_text(r.seen[static_cast<std::size_t>(r.worst)].judged.verdict);
  return "";
}

std::vector<std::pair<std::string, Rect>> openings_of(const SettingOut& f) {
  std::vector<std::pair<std::string, Rect>> out;
  for (const Window& w : f.study->room.windows)
    if (w.surface == f.plan->surface) out.emplace_back(w.name, w.opening);
  for (const Door& d : f.study->room.doors)
    if (d.surface == f.plan->surface) out.emplace_back("door", d.opening);
  return out;
}

std::pair<dvec2, dvec2> member_line(const SettingOut& f, double at) {
  const Rect box = face_of(f).box;
  if (f.plan->framing.upright) return {{at, box.lo.y}, {at, box.hi.y}};
  return {{box.lo.x, at}, {box.hi.x, at}};
}

// ---- DXF R12: group codes and values line by line

struct Dxf {
  std::string out;
  double shift = 0;  // mm to the right

  void put(int code, const std::string& value) { out += fmt::format("{:>3}\n{}\n", code, value); }
  void put(int code, double value) { put(code, fixed_text(value, 3)); }
  static std::string ascii(const std::string& text) {
    std::string t;
    for (char c : text) {
      if (static_cast<unsigned char>(c) < 0x80) t += c;
      else if ((static_cast<unsigned char>(c) & 0xC0u) != 0x80u) t += '?';
    }
    return t;
  }
  static std::string layer(const std::string& text) {
    std::string t;
    for (char c : ascii(text)) t += std::isalnum(static_cast<unsigned char>(c)) ? static_cast<char>(std::toupper(static_cast<unsigned char>(c))) : '-';
    return t;
  }
  void at(int code, dvec2 p) {
    put(code, p.x * mm_per_m + shift);
    put(code + 10, p.y * mm_per_m);
    put(code + 20, 0.0);
  }
  void line(const std::string& on, dvec2 a, dvec2 b) {
    put(0, "LINE");
    put(8, on);
    at(10, a);
    at(11, b);
  }
  void box(const std::string& on, Rect r) {
    line(on, r.lo, {r.hi.x, r.lo.y});
    line(on, {r.hi.x, r.lo.y}, r.hi);
    line(on, r.hi, {r.lo.x, r.hi.y});
    line(on, {r.lo.x, r.hi.y}, r.lo);
  }
  void text(dvec2 p, const std::string& words, double height_mm) {
    put(0, "TEXT");
    put(8, "TEXT");
    at(10, p);
    put(40, height_mm);
    put(1, ascii(words));
  }
};

const std::vector<std::pair<std::string, int>> dxf_layers{{"OUTLINE", 7}, {"OPENINGS", 8}, {"FRAMING", 9}, {"SHEETS", 7}, {"BLOCKS", 30}, {"JOINTS", 7}, {"JOINTS-HIDDEN", 8},
                                                          {"JOINTS-FAINT", 5}, {"JOINTS-SHOWS", 1}, {"BREAKS", 6}, {"TEXT", 7}};

// ---- HTML

std::string escaped(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '&') out += "&amp;";
    else if (c == '<') out += "&lt;";
    else if (c == '>') out += "&gt;";
    else if (c == '"') out += "&quot;";
    else out += c;
  }
  return out;
}

/// A list in which every row can be ticked off.
std::string ticked(const SiteTable& table, const std::string& key) {
  std::string out = fmt::format("<h3>{}</h3>\n<div class=\"wide\"><table>\n<tr><th></th>", escaped(table.title));
  for (const std::string& cell : table.rows[0]) out += "<th>" + escaped(cell) + "</th>";
  out += "</tr>\n";
  for (std::size_t r = 1; r < table.rows.size(); ++r) {
    const std::string id = fmt::format("{}-{}-{}", key, table.title, table.rows[r][0]) + (table.title == "Sheets" || table.title == "Joints" ? "" : "-" + std::to_string(r));
    out += fmt::format("<tr><td><input type=\"checkbox\" aria-label=\"{0} done\" data-key=\"{0}\"></td>", escaped(id));
    for (std::size_t i = 0; i < table.rows[r].size(); ++i) out += fmt::format("<td{}>{}</td>", i == 0 ? " class=\"name\"" : "", escaped(table.rows[r][i]));
    out += "</tr>\n";
  }
  return out + "</table></div>\n";
}

std::string picture(const Drawing& d) {
  const std::string svg = svg_text(d);
  return svg.substr(svg.find("<svg"));
}

}  // namespace

std::string setting_out_dxf(const std::vector<SettingOut>& faces) {
  Dxf d;
  d.put(0, "SECTION");
  d.put(2, "HEADER");
  d.put(9, "$ACADVER");
  d.put(1, "AC1009");
  d.put(0, "ENDSEC");
  d.put(0, "SECTION");
  d.put(2, "TABLES");
  d.put(0, "TABLE");
  d.put(2, "LAYER");
  d.put(70, std::to_string(dxf_layers.size()));
  for (const auto& [name, colour] : dxf_layers) {
    d.put(0, "LAYER");
    d.put(2, name);
    d.put(70, "0");
    d.put(62, std::to_string(colour));
    d.put(6, "CONTINUOUS");
  }
  d.put(0, "ENDTAB");
  d.put(0, "ENDSEC");
  d.put(0, "SECTION");
  d.put(2, "ENTITIES");
  double right = 0;
  for (const SettingOut& f : faces) {
    const Surface& face = face_of(f);
    d.shift = right - face.box.lo.x * mm_per_m;
    right += face.box.width() * mm_per_m + 1000;
    for (std::size_t i = 0; i < face.outline.size(); ++i) d.line("OUTLINE", face.outline[i], face.outline[(i + 1) % face.outline.size()]);
    for (const auto& [name, o] : openings_of(f)) d.box("OPENINGS", o);
    for (double m : f.plan->framing.at) {
      const auto [a, b] = member_line(f, m);
      d.line("FRAMING", a, b);
    }
    for (const Block& b : f.plan->blocks) d.box("BLOCKS", b.at);
    for (std::size_t i = 0; i < f.plan->layout.sheets.size(); ++i) {
      const Sheet& sheet = f.plan->layout.sheets[i];
      for (const Rect& piece : sheet.pieces) d.box("SHEETS", piece);
      d.text(sheet.pieces[0].lo + dvec2(0.05, 0.05), std::to_string(i + 1), 60);
    }
    for (const JointLine& j : f.plan->layout.joints) {
      if (!joins_sheets(j.kind)) continue;
      const std::string word = verdict_word(f, j.id);
      d.line(word.empty() ? "JOINTS" : "JOINTS-" + Dxf::layer(word), j.from, j.to);
      d.text(j.from + 0.3 * (j.to - j.from) + dvec2(0.02, 0.02), j.id.substr(j.id.find('/') + 1), 50);
    }
    for (const BreakLine& b : f.plan->breaks) d.line("BREAKS", b.from, b.to);
    d.text({face.box.lo.x, face.box.hi.y + 0.1}, face.name, 100);
  }
  d.put(0, "ENDSEC");
  d.put(0, "EOF");
  return d.out;
}

std::string setting_out_csv(const std::vector<SettingOut>& faces) {
  std::string out = "surface,what,id,from_x_mm,from_y_mm,to_x_mm,to_y_mm,cut_width_mm,cut_length_mm,stock,feather_left_mm,feather_right_mm,verdict\n";
  auto mm = [](double m) { return fixed_text(m * mm_per_m, 1); };
  auto quoted = [](std::string text) {
    if (text.find_first_of(",\"") == std::string::npos) return text;
    for (std::size_t i = 0; (i = text.find('"', i)) != std::string::npos; i += 2) text.insert(i, "\"");
    return "\"" + text + "\"";
  };
  for (const SettingOut& f : faces) {
    const std::string name = quoted(face_of(f).name);
    auto add = [&](const char* what, const std::string& id, dvec2 a, dvec2 b, const std::string& rest) {
      out += fmt::format("{},{},{},{},{},{},{},{}\n", name, what, quoted(id), mm(a.x), mm(a.y), mm(b.x), mm(b.y), rest);
    };
    for (std::size_t i = 0; i < f.plan->framing.at.size(); ++i) {
      const auto [a, b] = member_line(f, f.plan->framing.at[i]);
      add("member", std::to_string(i + 1), a, b, ",,,,,");
    }
    for (std::size_t i = 0; i < f.plan->layout.sheets.size(); ++i) {
      const Sheet& s = f.plan->layout.sheets[i];
      std::string rest = ",,,,,";
      if (f.cutting)
        for (const Cut& c : f.cutting->cuts)
          if (c.surface == f.plan->surface && c.sheet == static_cast<int>(i)) rest = fmt::format("{},{},{}{},,,", mm(c.size.x), mm(c.size.y), c.stock, c.offcut ? " offcut" : "");
      add("sheet", std::to_string(i + 1), s.outline.lo, s.outline.hi, rest);
    }
    if (f.judged)
      for (const JointResult& r : f.judged->joints) {
        if (!joins_sheets(r.joint.line.kind)) continue;
        const Feather feather = feather_of(r.joint, *f.study->job.finishing.tools);
        add(is_end(r.joint.line.kind) ? "butt" : "long joint", r.joint.line.id, r.joint.line.from, r.joint.line.to,
            fmt::format(",,,{},{},{}", mm(feather.left), mm(feather.right), verdict_word(f, r.joint.line.id)));
      }
    else
      for (const JointLine& j : f.plan->layout.joints)
        if (joins_sheets(j.kind)) add(is_end(j.kind) ? "butt" : "long joint", j.id, j.from, j.to, ",,,,,");
    for (const Block& b : f.plan->blocks) add(b.what.c_str(), "", b.at.lo, b.at.hi, ",,,,,");
    for (const BreakLine& b : f.plan->breaks) add("break", "", b.from, b.to, ",,,,,");
  }
  return out;
}

std::string setting_out_html(const std::vector<SettingOut>& faces, const Cutting& cutting) {
  const Study& study = *faces.front().study;
  const std::string title = study.job.title->empty() ? "Setting out" : "Setting out: " + *study.job.title;
  std::string out = fmt::format(R"(<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{0}</title>
<style>
body {{ font: 20px/1.4 sans-serif; margin: 0 auto; padding: 0.6em; max-width: 60em; color: #000; background: #fff; }}
h1 {{ font-size: 1.3em; }} h2 {{ border-top: 3px solid #000; padding-top: 0.4em; }}
svg {{ width: 100%; height: auto; border: 1px solid #8a867d; }}
.wide {{ overflow-x: auto; }} table {{ border-collapse: collapse; }}
td, th {{ padding: 0.35em 0.5em; border-bottom: 1px solid #8a867d; text-align: left; white-space: nowrap; }}
.name {{ font-size: 1.25em; font-weight: bold; }}
input {{ width: 1.6em; height: 1.6em; }}
tr.done td {{ color: #6d6a63; text-decoration: line-through; }}
nav a {{ display: inline-block; padding: 0.5em 0.8em; margin: 0.2em; border: 2px solid #000; color: #000; text-decoration: none; }}
</style></head><body>
<h1>{0}</h1>
<nav>)", escaped(title));
  for (std::size_t i = 0; i < faces.size(); ++i) out += fmt::format("<a href=\"#f{}\">{}</a>", i, escaped(face_of(faces[i]).name));
  out += fmt::format("</nav>\n<p>Lengths in {}, from the left corner and the floor. Ceilings before walls. A verdict is a prediction, not an acceptance.</p>\n",
                     study.job.units == Units::inch ? "inches" : "mm");
  out += ticked(stock_table(study, cutting), "stock");
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const SettingOut& f = faces[i];
    Drawing d;
    d.width = 200;
    d.height = 140;
    draw_setting_out(d, {2, 2}, {198, 138}, f);
    out += fmt::format("<h2 id=\"f{}\">{}</h2>\n<p>{}</p>\n{}", i, escaped(face_of(f).name), escaped(way_text(study, f.plan->surface, f.plan->way)), picture(d));
    for (const SiteTable& table : site_tables(f)) out += ticked(table, face_of(f).name);
  }
  return out + R"(<script>
document.querySelectorAll("input").forEach(function (box) {
  var key = "setting-out " + document.title + " " + box.dataset.key;
  var mark = function () { box.closest("tr").className = box.checked ? "done" : ""; };
  try { box.checked = localStorage.getItem(key) === "1"; } catch (e) {}
  mark();
  box.addEventListener("change", function () {
    mark();
    try { localStorage.setItem(key, box.checked ? "1" : "0"); } catch (e) {}
  });
});
</script>
</body></html>
)";
}

}  // namespace rakelight
