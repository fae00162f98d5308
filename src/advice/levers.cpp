// Which levers a surface has. (Over 500 lines: a function a lever, all on one set of facts.) Hours are estimates from memory: no published rate was found for any of them.
#include "advice/levers.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>

#include "advice/starts.h"
#include "base/text.h"
#include "base/units.h"
#include "light/covered.h"

namespace rakelight {
namespace {

// hours: per m² of face, per m of butt, per lamp, per window
constexpr Range framing_hours{0.03, 0.10}, fleece_hours{0.08, 0.15}, texture_hours{0.03, 0.08}, long_sheet_hours{0, 0.03}, start_hours{0, 0.02};
constexpr Range backing_hours{0.15, 0.30};
constexpr Range lamp_hours{0.5, 1.5};
constexpr Range cover_hours{0.3, 1.0};                                   // to put up
// Patches of changed light, m, and as a multiple of the room's own where those are larger. In the demo V behind a cover is within 0.2 % of
// that by patches of 0.25 m where joints may show, within 3 % where they are hidden; under a lamp moved, within 0.001 %.
constexpr double changed_patch = 0.9, changed_patches = 2.4;
constexpr double usual_lengths[] = {2.4, 2.7, 3.0, 3.6, 4.2, 4.8, 6.0};  // m, common practice
constexpr double lamp_places[] = {0.3, 0.6, 0.9};                       // m off the face
constexpr double wider_by[] = {1.5, 2.0, 3.0};
constexpr double corrected = 0.5;                                        // of the framing's errors is left

Range operator*(double s, const Range& r) { return {s * r.low, s * r.high}; }

std::string length_toml(const Job& job, double metres) {
  return number_text(job.units == Units::inch ? std::round(metres * mm_per_m / mm_per_inch * 64) / 64 : std::round(metres * mm_per_m * 10) / 10);
}
std::string point_toml(const Job& job, dvec3 p) { return fmt::format("[{}, {}, {}]", length_toml(job, p.x), length_toml(job, p.y), length_toml(job, p.z)); }

template <class T> void give(Key<T>& key, const T& value) {
  key.value = value;
  key.given = true;
}

double boarded(const Layout& layout) {
  double area = 0;
  for (const Sheet& sheet : layout.sheets) area += sheet.area();
  return area;
}

const char* texture_word(TextureSpec t) { return t == TextureSpec::light ? "light" : t == TextureSpec::medium ? "medium" : t == TextureSpec::heavy ? "heavy" : "none"; }

class Maker {
 public:
  Maker(const Study& study, const SurfaceAdvice& advice, std::shared_ptr<ChangedLight> light)
      : light_(std::move(light)), study_(study), advice_(advice), face_(study.room.surfaces[advice.surface]), index_(static_cast<std::size_t>(face_.spec)),
        spec_(study.job.surfaces[index_]), prefix_("surface." + *spec_.name), area_(boarded(study.layouts[advice.surface])) {}

  std::vector<LeverSettings> all() {
    return {one(Lever::framing, framing()), one(Lever::run, run()), one(Lever::layout, layout()), one(Lever::level, level()), one(Lever::width, width()),
            one(Lever::sheen, sheen()), one(Lever::texture, texture()), one(Lever::lamp, lamp()), one(Lever::cover, cover())};
  }

 private:
  LeverSettings one(Lever lever, std::vector<Setting> settings) const {
    Setting as_is;
    as_is.text = "as it is";
    as_is.value = 1;
    settings.insert(settings.begin(), as_is);
    if (lever == Lever::lamp || lever == Lever::cover)
      for (Setting& s : settings) s.light = light_;
    return {lever, std::move(settings)};
  }

  SurfaceSpec& spec_in(Job& job) const { return job.surfaces[index_]; }

  std::vector<Setting> framing() const {
    if (!study_.job.framing.at.known() || !study_.job.framing.flatness.given) return {};
    const dvec2 now = *study_.job.framing.flatness, then{corrected * now.x, now.y};
    const auto text = [&](dvec2 f) { return fmt::format("{} mm under {} mm", number_text(f.x * mm_per_m), number_text(f.y * mm_per_m)); };
    return {{"studs that stand proud planed and hollow ones packed, to " + text(then), "framer", area_ * framing_hours,
             {{"framing.flatness", text(now), text(then), fmt::format("[{}, {}]", length_toml(study_.job, then.x), length_toml(study_.job, then.y))}},
             [then](Job& job) { give(job.framing.flatness, then); }, corrected}};
  }

  // The run as the job file writes it: for a ceiling the wall's name alone.
  std::string run_word(Run run) const {
    const std::string text = run_text(study_.room, advice_.surface, run), towards = "towards ";
    return text.starts_with(towards) ? text.substr(towards.size()) : text;
  }

  // a tested system comes with its direction, backing and sheets
  bool locked() const { return *spec_.system != SystemSpec::none; }

  std::vector<Setting> run() const {
    if (locked()) return {};
    const Run now = study_.layouts[advice_.surface].run, other = now == Run::horizontal ? Run::upright : Run::horizontal;
    const std::string word = run_word(other);
    const bool ceiling = face_.kind != Surface::Kind::wall;
    const std::size_t index = index_;
    const std::string id = *spec_.name + "/";
    return {{ceiling ? "the sheets turned towards " + word : "the sheets hung " + word, "hanger", {}, {{prefix_ + ".run", run_word(now), word}},
             [=](Job& job) {
               SurfaceSpec& s = job.surfaces[index];
               give(s.run, ceiling ? RunSpec::towards_wall : other == Run::horizontal ? RunSpec::horizontal : RunSpec::upright);
               s.run_wall = ceiling ? word : "";
               // what the job says of rows and of single joints belongs to its own layout
               s.first_row.given = false;
               s.first_sheets = std::vector<double>();
               std::erase_if(job.joints, [&](const JointSpec& j) { return j.id->starts_with(id); });
             },
             0}};
  }

  double butt_metres() const {
    double metres = 0;
    for (const SurfaceResult& r : advice_.results)
      if (r.finish.run == study_.layouts[advice_.surface].run) {
        for (const JointResult& j : r.joints)
          if (is_end(j.joint.line.kind)) metres += j.joint.line.length();
        break;
      }
    return metres;
  }

  std::vector<Setting> layout() const {
    std::vector<Setting> settings;
    if (locked()) return settings;
    const std::size_t index = index_;
    bool butts = false;
    std::set<double> spans;
    for (const SurfaceResult& r : advice_.results) {
      if (r.finish.level != *spec_.level) continue;
      const bool has = std::any_of(r.joints.begin(), r.joints.end(), [](const JointResult& j) { return is_end(j.joint.line.kind); });
      butts = butts || has;
      if (has) spans.insert(r.finish.run == Run::horizontal ? face_.box.width() : face_.box.height());
    }
    add_starts(settings);
    if (!butts) return settings;
    const BackingSpec now = *spec_.backing;
    if (now == BackingSpec::none || now == BackingSpec::recessed) {
      const BackingSpec then = now == BackingSpec::none ? BackingSpec::butts : BackingSpec::both;
      settings.push_back({"the butts set between framing, backed and sprung in", "hanger", std::max(butt_metres(), 1.0) * backing_hours,
                          {{prefix_ + ".backing", now == BackingSpec::none ? "none" : "recessed", then == BackingSpec::butts ? "butts" : "both"}},
                          [=](Job& job) { give(job.surfaces[index].backing, then); }, 0});
    }
    for (const double span : spans) {
      // up to 10 mm are filled at the corner
      const auto longer = std::find_if(std::begin(usual_lengths), std::end(usual_lengths), [&](double l) { return l >= span - 0.010; });
      if (longer == std::end(usual_lengths) || *longer <= spec_.sheet->y + 1e-6) continue;
      const dvec2 size{spec_.sheet->x, *longer};
      const auto text = [](dvec2 s) { return fmt::format("{} x {} mm", number_text(s.x * mm_per_m), number_text(s.y * mm_per_m)); };
      settings.push_back({fmt::format("sheets {} mm long, which need no butt", number_text(*longer * mm_per_m)), "hanger", area_ * long_sheet_hours,
                          {{prefix_ + ".sheet", text(*spec_.sheet), text(size), fmt::format("[{}, {}]", length_toml(study_.job, size.x), length_toml(study_.job, size.y))}},
                          [=](Job& job) { give(job.surfaces[index].sheet, size); }, *longer});
    }
    return settings;
  }

  void add_starts(std::vector<Setting>& settings) const {
    const std::size_t index = index_;
    const std::string id = *spec_.name + "/";
    const auto list = [](const std::vector<double>& lengths, const auto& text) {
      std::string out;
      for (const double l : lengths) out += (out.empty() ? "" : ", ") + text(l);
      return out;
    };
    const auto mm = [](double metres) { return fixed_text(metres * mm_per_m, 0); };
    const auto toml = [&](double metres) { return length_toml(study_.job, metres); };
    for (const Way& way : other_starts(study_, advice_)) {
      Setting s;
      s.by = "hanger";
      s.hours = area_ * start_hours;
      s.own_run = true;
      std::vector<std::string> parts;
      const double row_now = spec_.first_row.given ? *spec_.first_row : 0;
      if (std::abs(way.first_row - row_now) > 1e-4) {
        const double row = way.first_row > 0 ? way.first_row : spec_.sheet->x;
        s.changes.push_back({prefix_ + ".first_row", row_now > 0 ? mm(row_now) + " mm" : "a full sheet", mm(row) + " mm", toml(row)});
        parts.push_back(fmt::format("the first row {} mm wide", mm(row)));
      }
      if (way.first_sheets != *spec_.first_sheets && !way.first_sheets.empty()) {
        s.changes.push_back({prefix_ + ".first_sheets", spec_.first_sheets->empty() ? "running bond" : list(*spec_.first_sheets, mm) + " mm", list(way.first_sheets, mm) + " mm", "[" + list(way.first_sheets, toml) + "]"});
        parts.push_back(way.first_sheets.size() == 1 ? fmt::format("every row begun with a sheet {} mm long", mm(way.first_sheets[0]))
                                                     : fmt::format("the rows begun in turn with sheets {} mm long", list(way.first_sheets, mm)));
      }
      if (parts.empty()) continue;
      for (const std::string& part : parts) s.text += (s.text.empty() ? "" : " and ") + part;
      s.set = [index, id, way](Job& job) {
        SurfaceSpec& face = job.surfaces[index];
        if (way.first_row > 0) give(face.first_row, way.first_row);
        face.first_row.given = way.first_row > 0;
        give(face.first_sheets, way.first_sheets);
        std::erase_if(job.joints, [&](const JointSpec& j) { return j.id->starts_with(id); });
      };
      settings.push_back(std::move(s));
    }
  }

  std::vector<Setting> level() const {
    std::vector<Setting> settings;
    const std::size_t index = index_;
    const std::string asked = *spec_.level;
    bool higher = false;
    for (const Level& l : study_.scheme.levels) {
      const bool paintable = std::any_of(advice_.options.begin(), advice_.options.end(), [&](const Option& o) { return o.finish.level == l.id && o.for_paint; });
      if (higher && paintable) {
        const std::string to = l.id;
        settings.push_back({"level " + to, "finisher", {}, {{prefix_ + ".level", asked, to}},
                            [=](Job& job) {
                              give(job.surfaces[index].level, to);
                              // what was measured is the joint as it was finished
                              for (JointSpec& j : job.joints) j.section.reset();
                            },
                            0});
      }
      higher = higher || l.id == asked;
    }
    return settings;
  }

  /// Whether a joint could be noticed by somebody: the band of its visibility reaches the verdict "shows".
  bool may_show(const JointResult& j) const {
    return j.worst >= 0 && j.seen[j.worst].judged.high >= *study_.job.verdict.shows;
  }

  std::vector<Setting> width() const {
    // by id, over both runs: a mix takes those that its layout has
    std::vector<std::pair<std::string, double>> widths;
    std::set<std::string> known;
    for (const SurfaceResult& r : advice_.results)
      for (const JointResult& j : r.joints)
        if (r.finish.level == *spec_.level && joins_sheets(j.joint.line.kind) && !j.joint.measured && may_show(j) && j.width > 0 && j.width < widest_joint &&
            known.insert(j.joint.line.id).second)
          widths.emplace_back(j.joint.line.id, j.width);
    std::vector<Setting> settings;
    if (widths.empty()) return settings;
    double before = 0;
    for (const double factor : wider_by) {
      Setting s;
      s.by = "finisher";
      s.value = factor;
      double least = widest_joint, most = 0;
      std::vector<std::pair<std::string, double>> set;
      for (const auto& [id, now] : widths) {
        const double then = std::min(std::round(factor * now / 0.01) * 0.01, widest_joint);
        s.changes.push_back({"joint." + id + ".width", fmt::format("{} mm", fixed_text(now * mm_per_m, 0)), fmt::format("{} mm", fixed_text(then * mm_per_m, 0)), length_toml(study_.job, then)});
        set.emplace_back(id, then);
        least = std::min(least, then);
        most = std::max(most, then);
      }
      if (most <= before) continue;  // all are as wide as can be
      before = most;
      s.text = least == most ? fmt::format("joints that may show {} mm wide", fixed_text(most * mm_per_m, 0))
                             : fmt::format("joints that may show {} to {} mm wide", fixed_text(least * mm_per_m, 0), fixed_text(most * mm_per_m, 0));
      s.set = [set](Job& job) {
        std::map<std::string, std::size_t> said;
        for (std::size_t i = job.joints.size(); i-- > 0;) said[*job.joints[i].id] = i;
        for (const auto& [id, then] : set) {
          const auto own = said.find(id);
          JointSpec& j = own != said.end() ? job.joints[own->second] : job.joints.emplace_back();
          give(j.id, id);
          give(j.width, then);
        }
      };
      settings.push_back(std::move(s));
    }
    return settings;
  }

  std::vector<Setting> sheen() const {
    std::vector<Setting> settings;
    const auto now = paint_class(*spec_.paint.name);
    if (!now) return settings;
    const std::size_t index = index_;
    std::vector<PaintClass> flatter;
    for (const std::string& id : paint_ids()) {
      const PaintClass c = *paint_class(id);
      if (c.gloss85 < now->gloss85 && c.gloss60 < now->gloss60) flatter.push_back(c);
    }
    std::sort(flatter.begin(), flatter.end(), [](const PaintClass& a, const PaintClass& b) { return a.gloss85 > b.gloss85; });
    for (const PaintClass& c : flatter) {
      const std::string id = c.id;
      settings.push_back({c.title + " paint", "painter", {}, {{prefix_ + ".paint.class", *spec_.paint.name, id}},
                          [=](Job& job) {
                            PaintSpec& p = job.surfaces[index].paint;
                            give(p.name, id);
                            if (p.klass.given) p.klass.value = id;
                          },
                          c.gloss85});
    }
    return settings;
  }

  std::vector<Setting> texture() const {
    std::vector<Setting> settings;
    const std::size_t index = index_;
    if (*spec_.paint.lining == LiningSpec::none)
      settings.push_back({"fleece pasted over the whole face", "painter", area_ * fleece_hours, {{prefix_ + ".paint.lining", "none", "fleece"}},
                          [=](Job& job) { give(job.surfaces[index].paint.lining, LiningSpec::fleece); }, 0});
    for (const TextureSpec t : {TextureSpec::light, TextureSpec::medium})
      if (t > *spec_.paint.texture)
        settings.push_back({fmt::format("a {} texture", texture_word(t)), "painter", area_ * texture_hours,
                            {{prefix_ + ".paint.texture", texture_word(*spec_.paint.texture), texture_word(t)}},
                            [=](Job& job) { give(job.surfaces[index].paint.texture, t); }, 0});
    return settings;
  }

  std::vector<Setting> lamp() const {
    std::vector<Setting> settings;
    const auto reach_of = [&](const LampSpec& l) { return face_.frame.height_of(*l.position); };
    const auto shines = [&](std::size_t i) {
      const LampSpec& l = study_.job.lamps[i];
      return *l.kind != LampKind::hand && reach_of(l) > 1e-3 &&
             std::any_of(study_.moments.begin(), study_.moments.end(), [&](const Moment& m) { return i < m.lamp_on.size() && m.lamp_on[i] > 0; });
    };
    const auto inside = [&](dvec3 p) { return study_.room.contains(dvec2(p)) && p.z > 0.3 && p.z <= study_.room.height; };
    const auto key = [&](const LampSpec& l, const char* what) { return "lamp." + *l.name + "." + what; };
    const auto place = [](dvec3 p) { return fmt::format("{}, {}, {} mm", fixed_text(p.x * mm_per_m, 0), fixed_text(p.y * mm_per_m, 0), fixed_text(p.z * mm_per_m, 0)); };
    for (const double off : lamp_places) {
      Setting s;
      s.by = "electrician";
      s.value = off;
      std::vector<std::pair<std::size_t, std::array<dvec3, 2>>> moved;
      for (std::size_t i = 0; i < study_.job.lamps.size(); ++i) {
        const LampSpec& l = study_.job.lamps[i];
        if (!shines(i) || reach_of(l) > off - 0.05) continue;
        const dvec3 by = (off - reach_of(l)) * face_.frame.n, at = *l.position + by, to = *l.to + by;
        if (!inside(at) || (*l.kind == LampKind::strip && !inside(to))) continue;
        moved.push_back({i, {at, to}});
        s.changes.push_back({key(l, "at"), place(*l.position), place(at), point_toml(study_.job, at)});
        if (*l.kind == LampKind::strip) s.changes.push_back({key(l, "to"), place(*l.to), place(to), point_toml(study_.job, to)});
      }
      if (moved.empty()) continue;
      s.text = fmt::format("{} {} mm off the {}", moved.size() == 1 ? *study_.job.lamps[moved[0].first].name : "lamps nearer than that moved", fixed_text(off * mm_per_m, 0),
                           face_.kind == Surface::Kind::wall ? "wall" : "ceiling");
      s.hours = static_cast<double>(moved.size()) * lamp_hours;
      s.set = [moved](Job& job) {
        for (const auto& [i, to] : moved) {
          give(job.lamps[i].position, to[0]);
          job.lamps[i].to.value = to[1];
        }
      };
      settings.push_back(std::move(s));
    }
    // a narrower beam sends less of its light along the face
    Setting s;
    s.by = "electrician";
    std::vector<std::pair<std::size_t, double>> narrowed;
    for (std::size_t i = 0; i < study_.job.lamps.size(); ++i) {
      const LampSpec& l = study_.job.lamps[i];
      const double half = std::max(0.5 * *l.beam, 20 * rad_per_deg);
      if (!shines(i) || *l.kind != LampKind::downlight || l.distribution || reach_of(l) > lamp_places[2] || half > 0.8 * *l.beam) continue;
      narrowed.emplace_back(i, half);
      const auto degrees = [](double r) { return fixed_text(r * deg_per_rad, 0); };
      s.changes.push_back({key(l, "beam"), degrees(*l.beam) + "°", degrees(half) + "°", degrees(half)});
    }
    if (narrowed.empty()) return settings;
    s.text = narrowed.size() == 1 ? fmt::format("{} with a beam of {}", *study_.job.lamps[narrowed[0].first].name, s.changes[0].to) : "lamps with half the beam";
    s.hours = static_cast<double>(narrowed.size()) * (0.5 * lamp_hours);
    s.set = [narrowed](Job& job) {
      for (const auto& [i, beam] : narrowed) give(job.lamps[i].beam, beam);
    };
    settings.push_back(std::move(s));
    return settings;
  }

  /// The window that sends most light across this face's most visible joint by day.
  int raking_window() const {
    const JointResult* joint = nullptr;
    const Seen* worst = nullptr;
    for (const SurfaceResult& r : advice_.results)
      if (r.finish.level == *spec_.level)
        for (const JointResult& j : r.joints)
          for (const Seen& s : j.seen)
            if (!study_.moments[static_cast<std::size_t>(s.moment)].sky.dark && (!worst || s.judged.visibility > worst->judged.visibility)) {
              worst = &s;
              joint = &j;
            }
    if (!worst || worst->judged.high < *study_.job.verdict.shows) return -1;
    const JointLine& line = joint->joint.line;
    const Lighting& lighting = study_.lighting[static_cast<std::size_t>(worst->moment)];
    const dvec2 p = line.from + worst->station * line.along();
    std::vector<double> across(study_.room.windows.size(), 0.0);
    for (const SourceShare& share : light_by_source(lighting, advice_.surface, p)) {
      const double by = std::abs(glm::dot(share.e.tangential(), line.across()));
      if (share.name == "sun") {
        const int through = sun_at(lighting, face_.frame.world_from_surface(p)).window;
        if (through >= 0) across[static_cast<std::size_t>(through)] += by;
        continue;
      }
      for (std::size_t w = 0; w < across.size(); ++w)
        if (share.name.starts_with(study_.room.windows[w].name + " ")) across[w] += by;
    }
    const auto most = std::max_element(across.begin(), across.end());
    return most == across.end() || *most <= 0 ? -1 : static_cast<int>(most - across.begin());
  }

  std::vector<Setting> cover() const {
    std::vector<Setting> settings;
    const int rakes = raking_window();
    if (rakes < 0) return settings;
    const std::string name = study_.room.windows[static_cast<std::size_t>(rakes)].name;
    const auto spec = std::find_if(study_.job.windows.begin(), study_.job.windows.end(), [&](const WindowSpec& w) { return *w.name == name; });
    if (spec == study_.job.windows.end() || *spec->cover != CoverSpec::none) return settings;
    const auto index = static_cast<std::size_t>(spec - study_.job.windows.begin());
    for (const CoverSpec to : {CoverSpec::sheer, CoverSpec::blind}) {
      const std::string word = to == CoverSpec::sheer ? "sheer" : "blind";
      Setting s;
      s.text = fmt::format("a {} drawn over {} by day", to == CoverSpec::sheer ? "sheer curtain" : "blind", name);
      s.by = "client";
      s.hours = cover_hours;
      s.changes = {{"window." + name + ".cover", "none", word}};
      s.set = [index, to](Job& job) {
        WindowSpec& w = job.windows[index];
        const UsualCover usual = usual_cover(to);
        give(w.cover, to);
        w.cover_direct.value = usual.direct;
        w.cover_scatter.value = usual.scatter;
        w.cover_reflectance.value = usual.reflectance;
      };
      settings.push_back(std::move(s));
    }
    return settings;
  }

  std::shared_ptr<ChangedLight> light_;
  const Study& study_;
  const SurfaceAdvice& advice_;
  const Surface& face_;
  std::size_t index_;
  const SurfaceSpec& spec_;
  std::string prefix_;
  double area_;
};

bool same_lamp(const LampSpec& a, const LampSpec& b) { return *a.position == *b.position && *a.to == *b.to && *a.beam == *b.beam; }

/// What a setting changes, as one word.
std::string key_of(const Setting& s) {
  std::string key;
  for (const Change& c : s.changes) key += c.key + "=" + c.to + ";";
  return key;
}

/// The light's basis of a room so covered.
std::shared_ptr<const LightBasis> covered_basis(const Study& study, const Room& covered, const std::string& key, ChangedLight& light) {
  std::shared_ptr<const LightBasis>& basis = light.bases[key];
  if (!basis) basis = with_covers(study.job, covered, *coarse_basis(study, light));
  return basis;
}

/// The light of a moment with some lamps changed: they shine beside the basis, which has them as they were. What they send straight to a
/// face is exact; only what bounces goes by the basis.
Lighting relit(const Room& room, std::shared_ptr<const LightBasis> basis, const Job& job, const Moment& moment, const std::vector<std::size_t>& changed) {
  Moment without = moment;
  std::vector<Lamp> extra;
  for (const std::size_t l : changed) {
    extra.push_back(make_lamp(job.lamps[l], room));
    extra.back().peak *= moment.lamp_on[l];
    without.lamp_on[l] = 0;
  }
  return make_lighting(job, room, std::move(basis), without, extra);
}

}  // namespace

const std::shared_ptr<const LightBasis>& coarse_basis(const Study& study, ChangedLight& light) {
  if (light.coarse) return light.coarse;
  double own = 0;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) {
    const PatchGrid& grid = patch_grid(*study.basis, s);
    own = std::max({own, grid.box.width() / grid.nx, grid.box.height() / grid.ny});
  }
  LightDetail coarse;
  coarse.patch = std::max(changed_patch, changed_patches * own);
  light.coarse = make_basis(study.job, study.room, coarse);
  return light.coarse;
}

std::string lever_text(Lever lever) {
  switch (lever) {
    case Lever::framing: return "framing";
    case Lever::run: return "direction";
    case Lever::layout: return "layout";
    case Lever::level: return "level";
    case Lever::width: return "width";
    case Lever::sheen: return "sheen";
    case Lever::texture: return "texture";
    case Lever::lamp: return "lamp";
    case Lever::cover: break;
  }
  return "cover";
}

int changed_levers(const Mix& mix) {
  return static_cast<int>(std::count_if(mix.begin(), mix.end(), [](int s) { return s != 0; }));
}

std::vector<LeverSettings> levers_of(const Study& study, const SurfaceAdvice& advice, std::shared_ptr<ChangedLight> light) {
  return Maker(study, advice, light ? std::move(light) : std::make_shared<ChangedLight>()).all();
}

std::vector<Change> changes_of(const Study& study, int surface, const std::vector<LeverSettings>& levers, const Mix& mix) {
  std::vector<Change> changes;
  for (std::size_t l = 0; l < levers.size(); ++l) {
    const Setting& s = levers[l].settings[static_cast<std::size_t>(mix[l])];
    if (levers[l].lever == Lever::width) {
      // of the joints that the mix's own sheets have
      const bool turned = at(mix, Lever::run) != 0 || at(mix, Lever::layout) > 0;
      std::vector<JointLine> lines = study.layouts[surface].joints;
      if (turned) {
        // paint and light do not move the sheets
        Mix sheets = mix;
        for (const Lever other : {Lever::sheen, Lever::texture, Lever::lamp, Lever::cover}) at(sheets, other) = 0;
        lines = mixed_study(study, surface, levers, sheets)->layouts[surface].joints;
      }
      std::set<std::string> keys;
      for (const JointLine& j : lines) keys.insert("joint." + j.id + ".width");
      for (const Change& c : s.changes)
        if (keys.contains(c.key)) changes.push_back(c);
      continue;
    }
    changes.insert(changes.end(), s.changes.begin(), s.changes.end());
  }
  // a paint that the file names in one word becomes a table when more is said of it
  const SurfaceSpec& spec = study.job.surfaces[static_cast<std::size_t>(study.room.surfaces[surface].spec)];
  if (spec.paint.klass.given || spec.paint.name->empty()) return changes;
  const std::string key = "surface." + *spec.name + ".paint";
  Change paint{key, *spec.paint.name, *spec.paint.name, ""};
  std::string more;
  bool any = false;
  std::erase_if(changes, [&](const Change& c) {
    if (!c.key.starts_with(key + ".")) return false;
    any = true;
    const std::string what = c.key.substr(key.size() + 1);
    if (what == "class") {
      paint.to = c.to;
    } else {
      more += fmt::format(", {} = \"{}\"", what, c.to);
    }
    return true;
  });
  if (!any) return changes;
  if (!more.empty()) {
    paint.toml = fmt::format("{{ class = \"{}\"{} }}", paint.to, more);
    paint.to += more;
    std::erase(paint.to, '"');
  }
  changes.push_back(paint);
  return changes;
}

std::unique_ptr<Study> copy_of(const Study& study) {
  auto copy = std::make_unique<Study>();
  copy->job = study.job;
  copy->stage = study.stage;
  copy->room = study.room;
  copy->viewers = study.viewers;
  copy->moments = study.moments;
  copy->scheme = study.scheme;
  copy->work = study.work;
  copy->layouts = study.layouts;
  copy->paints = study.paints;
  copy->basis = study.basis;
  copy->lighting = study.lighting;
  return copy;
}

void prepare_light(const Study& study, const std::vector<LeverSettings>& levers) {
  const auto& lamps = levers[static_cast<std::size_t>(Lever::lamp)].settings;
  const auto& covers = levers[static_cast<std::size_t>(Lever::cover)].settings;
  for (std::size_t s = 1; s < lamps.size(); ++s) {
    coarse_basis(study, *lamps[s].light);
    lamps[s].light->lit[key_of(lamps[s])];
  }
  for (std::size_t s = 1; s < covers.size(); ++s) {
    coarse_basis(study, *covers[s].light);
    covers[s].light->lit[key_of(covers[s])];
    covers[s].light->bases[key_of(covers[s])];
  }
}

std::unique_ptr<Study> mixed_study(const Study& study, int surface, const std::vector<LeverSettings>& levers, const Mix& mix, const std::vector<bool>* moments) {
  auto mixed = copy_of(study);
  Job& job = mixed->job;
  const Job& before = study.job;
  // turning the sheets forgets what single joints had, so it comes before the widths
  for (std::size_t l = 0; l < levers.size(); ++l) {
    const Setting& s = levers[l].settings[static_cast<std::size_t>(mix[l])];
    if (s.set) s.set(job);
  }
  if (at(mix, Lever::run) > 0 || at(mix, Lever::layout) > 0) {
    Diagnostics passed_over;  // entries of joints that are gone
    mixed->layouts[surface] = lay_all(job, mixed->room, passed_over)[surface];
  }
  if (at(mix, Lever::sheen) > 0 || at(mix, Lever::texture) > 0) {
    const SurfaceSpec& s = job.surfaces[static_cast<std::size_t>(study.room.surfaces[surface].spec)];
    mixed->paints[surface] = make_paint(s.paint, mixed->room.surfaces[surface].reflectance, study.stage);
  }
  const int lamp = at(mix, Lever::lamp), cover = at(mix, Lever::cover);
  if (lamp == 0 && cover == 0) return mixed;
  const Setting& lamps = levers[static_cast<std::size_t>(Lever::lamp)].settings[static_cast<std::size_t>(lamp)];
  const Setting& covers = levers[static_cast<std::size_t>(Lever::cover)].settings[static_cast<std::size_t>(cover)];
  ChangedLight& light = *(lamp > 0 ? lamps : covers).light;
  bool covered = false;
  std::shared_ptr<const LightBasis> basis = coarse_basis(study, light);
  if (cover > 0) {
    Diagnostics known;  // the room stood before
    if (auto room = make_room(job, known)) {
      mixed->room = *std::move(room);
      basis = mixed->basis = covered_basis(study, mixed->room, key_of(covers), light);
      covered = true;
    }
  }
  std::vector<std::optional<Lighting>>& known = light.lit[key_of(lamps) + key_of(covers)];
  known.resize(study.moments.size());
  for (std::size_t m = 0; m < study.moments.size(); ++m) {
    if (moments && !(*moments)[m]) continue;
    std::vector<std::size_t> changed;
    for (std::size_t l = 0; l < job.lamps.size(); ++l)
      if (!same_lamp(job.lamps[l], before.lamps[l]) && l < study.moments[m].lamp_on.size() && study.moments[m].lamp_on[l] > 0) changed.push_back(l);
    if (!covered && changed.empty()) continue;
    if (!known[m]) known[m] = relit(covered ? mixed->room : study.room, basis, job, study.moments[m], changed);
    mixed->lighting[m] = *known[m];
    mixed->lighting[m].room = covered ? &mixed->room : &study.room;
  }
  return mixed;
}

}  // namespace rakelight
