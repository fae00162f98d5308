#include "job/read.h"

#include <fmt/format.h>

#include "base/text.h"
#include "job/fields.h"
#include "job/lamps.h"
#include "job/windows.h"
#include "job/names.h"
#include "job/table_reader.h"
#include "job/tree.h"
#include "job/zones.h"

namespace rakelight {
namespace {

class JobReader {
 public:
  JobReader(const TomlNode& file, std::string_view text, Diagnostics& diagnostics)
      : file_(file), text_(text), diagnostics_(diagnostics) {}

  std::optional<Job> read() {
    if (!format_is_known()) return std::nullopt;
    read_top();
    read_site();
    read_room();
    each("window", job_.windows, [this](TableReader& t, WindowSpec& w, std::size_t i) { read_window(t, w, i); });
    each("door", job_.doors, [](TableReader& t, DoorSpec& d, std::size_t) { door_fields(d, t); });
    each("lamp", job_.lamps, [this](TableReader& t, LampSpec& l, std::size_t i) {
      const std::size_t errors_before = diagnostics_.all().size();
      lamp_fields(l, t);
      name_by_number(l.name, 'L', i);
      if (diagnostics_.all().size() == errors_before) settle_lamp(l, diagnostics_);
    });
    each("surface", job_.surfaces, [this](TableReader& t, SurfaceSpec& s, std::size_t) { read_surface(t, s); });
    single("framing", [this](TableReader& t) {
      job_.framing.at = place("framing");
      framing_fields(job_.framing, t);
      const FramingSpec& f = job_.framing;
      if (f.first.given && *f.first > *f.spacing)
        diagnostics_.error(f.first.at, "the first member stands further from the corner than the spacing", "first at most spacing", f.spacing.at, "spacing is here");
    });
    single("access", [this](TableReader& t) {
      job_.access.at = place("access");
      access_fields(job_.access, t);
      const AccessSpec& a = job_.access;
      if (a.passage.given != a.turn.given)
        diagnostics_.error((a.passage.given ? a.passage : a.turn).at, a.passage.given ? "passage without turn" : "turn without passage", "both, or neither: a sheet goes round from one into the other");
    });
    single("finishing", [this](TableReader& t) {
      job_.finishing.at = place("finishing");
      finishing_fields(job_.finishing, t);
      check_tape();
      read_measured(t);
    });
    each("joint", job_.joints, [](TableReader& t, JointSpec& j, std::size_t) { joint_fields(j, t); });
    each("moment", job_.moments, [this](TableReader& t, MomentSpec& m, std::size_t i) { read_moment(t, m, i); });
    each("viewer", job_.viewers, [this](TableReader& t, ViewerSpec& v, std::size_t i) { read_viewer(t, v, i); });
    single("verdict", [this](TableReader& t) { read_verdict(t); });
    single("rates", [this](TableReader& t) {
      job_.rates.at = place("rates");
      rates_fields(job_.rates, t);
    });
    single("drying", [this](TableReader& t) {
      job_.drying.at = place("drying");
      drying_fields(job_.drying, t);
    });
    single("paper", [this](TableReader& t) { read_paper(t); });
    find_site();
    check_names(job_, lamp_mentions_, diagnostics_);
    if (!diagnostics_.ok()) return std::nullopt;
    return job_;
  }

 private:
  ValueReader values() const { return ValueReader(job_.units); }

  TableReader table(std::string_view name, const TomlNode* node) const {
    return TableReader(name, node, values(), text_, diagnostics_);
  }

  Span place(std::string_view name) const {
    const TomlEntry* e = file_.find(name);
    return e ? e->value.at : Span{};
  }

  /// A newer format may mean other things by the same words: nothing else is read then.
  bool format_is_known() {
    const TomlEntry* e = file_.find("format");
    if (!e || (e->value.type == TomlNode::Type::whole && e->value.number == 1)) return true;
    const bool newer = e->value.type == TomlNode::Type::whole && e->value.number > 1;
    diagnostics_.error(e->value.at, newer ? fmt::format("the file is of format {}, newer than the format 1 that this version reads", number_text(e->value.number))
                                          : "format cannot be " + std::string(text_.substr(e->value.at.begin, e->value.at.end - e->value.at.begin)),
                       newer ? "a newer version of the program, or a file of format 1" : "format = 1");
    return false;
  }

  void read_top() {
    TableReader top = table("", &file_);
    Key<double> format;
    Key<Units> units;
    top("format", format);
    top("title", job_.title);
    top("units", units);
    job_.units = *units;
    for (const TableRow& row : table_rows()) top.take(row.name);
    top.finish();
  }

  /// A table that may stand once; a wrong kind of value is reported and read as absent.
  template <class F> void single(std::string_view name, F&& read) {
    const TomlEntry* e = file_.find(name);
    const TomlNode* node = e ? &e->value : nullptr;
    if (node && node->type != TomlNode::Type::table) {
      const bool many = node->form == TomlNode::Form::headed;
      diagnostics_.error(many ? node->at : e->key_at, fmt::format("\"{}\" must be one table", name), fmt::format("[{}]", name));
      node = nullptr;
      if (name == "room") return;
    }
    TableReader reader = table(name, node);
    read(reader);
    reader.finish();
  }

  /// A table that may stand any number of times.
  template <class Spec, class F> void each(std::string_view name, std::vector<Spec>& specs, F&& read) {
    const TomlEntry* e = file_.find(name);
    if (!e) return;
    bool fits = e->value.type == TomlNode::Type::list;
    for (const TomlNode& item : e->value.items) fits = fits && item.type == TomlNode::Type::table;
    if (!fits) {
      const bool single_table = e->value.type == TomlNode::Type::table && e->value.form == TomlNode::Form::headed;
      diagnostics_.error(single_table ? e->value.at : e->key_at, fmt::format("\"{}\" must be a list of tables", name), fmt::format("[[{}]]", name));
      return;
    }
    for (const TomlNode& item : e->value.items) {
      Spec& spec = specs.emplace_back();
      spec.at = item.at;
      TableReader reader = table(name, &item);
      read(reader, spec, specs.size());
      reader.finish();
    }
  }

  void name_by_number(Key<std::string>& name, char letter, std::size_t number) const {
    if (!name.given) name.value = letter + std::to_string(number);
  }

  void read_site() {
    job_.site.at = place("site");
    single("site", [this](TableReader& t) {
      site_fields(job_.site, t);
      if (const TomlNode* skyline = t.written("skyline"); skyline && skyline->type == TomlNode::Type::list)
        if (!values().read_skyline(*skyline, *find_key("site", "skyline"), job_.site.skyline_points)) job_.site.skyline_points.clear();
    });
    const SiteSpec& site = job_.site;
    if (*site.magnetic && !site.declination.given)
      diagnostics_.error(site.magnetic.at, "magnetic = true without declination", "declination = degrees that the compass points east of true north there");
    if (*site.magnetic && !site.north.given) diagnostics_.error(site.magnetic.at, "magnetic = true without north", "north = the bearing read");
    if (site.declination.given && !*site.magnetic)
      diagnostics_.error(site.declination.at, "declination without magnetic = true", "both when north was read from a compass, else neither");
    if (site.seen.given && site.north.given)
      diagnostics_.error(site.seen.at, "both north and seen say which way the plan faces", "one of them", site.north.at, "north is here");
  }

  void read_room() {
    job_.room.at = place("room");
    if (!file_.find("room")) {
      diagnostics_.error({0, 0}, "the job has no room", "[room] with corners and height");
      return;
    }
    single("room", [this](TableReader& t) {
      room_fields(job_.room, t);
      read_wall_names(t);
    });
  }

  void read_wall_names(TableReader& t) {
    RoomSpec& room = job_.room;
    t.take("walls");
    const TomlNode* written = t.written("walls");
    if (!written) {
      for (std::size_t i = 0; i < room.corners->size(); ++i) {
        Key<std::string>& wall = room.walls.emplace_back();
        wall.at = room.at;
        // A … Z, then AA, AB …
        for (std::size_t n = i + 1; n > 0; n = (n - 1) / 26) wall.value.insert(wall.value.begin(), static_cast<char>('A' + (n - 1) % 26));
      }
      return;
    }
    const KeyRow& row = *find_key("room", "walls");
    std::vector<std::string> names;
    if (!values().read(*written, row, names) || names.size() != written->items.size()) {
      t.wrong_value({"walls", written->at, *written}, row);
      return;
    }
    for (std::size_t i = 0; i < names.size(); ++i) {
      Key<std::string>& wall = room.walls.emplace_back(names[i]);
      wall.at = written->items[i].at;
      wall.given = true;
    }
    if (!room.corners->empty() && names.size() != room.corners->size())
      diagnostics_.error(written->at, fmt::format("the room has {} walls and {} corners", names.size(), room.corners->size()),
                         fmt::format("{} names, one per corner", room.corners->size()), room.corners.at, "the corners are here");
  }

  void read_window(TableReader& t, WindowSpec& w, std::size_t number) {
    window_fields(w, t);
    name_by_number(w.name, 'W', number);
    if (*w.glazing == Glass::transmittance) w.transmittance = t.written("glazing")->number;
    settle_window(w, diagnostics_);
  }

  void read_surface(TableReader& t, SurfaceSpec& s) {
    surface_fields(s, t);
    if (const TomlNode* run = t.written("run"); run && run->type == TomlNode::Type::text) {
      // on a ceiling every word but "auto" is a wall's name
      if (*s.name == "ceiling" && *s.run != RunSpec::automatic) s.run.value = RunSpec::towards_wall;
      if (*s.run == RunSpec::towards_wall) s.run_wall = run->text;
    }
    if (!s.reflectance.given) s.reflectance.value = *s.name == "ceiling" ? *job_.room.ceiling_reflectance : *job_.room.wall_reflectance;
    read_paint(t.written("paint"), s);
  }

  void read_paint(const TomlNode* written, SurfaceSpec& s) {
    PaintSpec& paint = s.paint;
    const TomlNode* node = written && written->type == TomlNode::Type::table ? written : nullptr;
    TableReader inner = table("surface.paint", node);
    paint_fields(paint, inner);
    inner.finish();
    if (!node) return;
    if (paint.klass.given) {
      paint.name = paint.klass;
      const Key<double>& gloss = paint.gloss60.given ? paint.gloss60 : paint.gloss85;
      if (gloss.given)
        diagnostics_.error(gloss.at, "both a class and gloss units say how the paint shines", "one of them", paint.klass.at, "the class is here");
    } else {
      const auto needs = [&](const char* key, const Key<double>& gloss) {
        if (!gloss.given) diagnostics_.error(node->at, key_label("surface.paint", key) + " is missing", std::string(key) + " = a number from 0 to 100, or class = \"matt\" alone");
      };
      needs("gloss60", paint.gloss60);
      needs("gloss85", paint.gloss85);
    }
    warn_of_idle_words(paint);
    if (!paint.colour.given) return;
    if (s.reflectance.given)
      diagnostics_.error(paint.colour.at, "both colour and reflectance say how light the surface is", "one of them", s.reflectance.at, "reflectance is here");
    s.reflectance = paint.colour;
  }

  /// Warns of keys of a paint that say nothing beside the others.
  void warn_of_idle_words(const PaintSpec& paint) {
    const bool rolled = paint.applied.given && *paint.applied == AppliedSpec::rolled;
    if (paint.nap.given && !rolled)
      diagnostics_.warn(paint.nap.at, "nap is the roller's, and the paint is not said to be rolled: it changes nothing", "applied = \"rolled\", or no nap");
    const bool lined = *paint.lining == LiningSpec::fleece;
    if (paint.coats.given && (lined || *paint.sealer == SealerSpec::even))
      diagnostics_.warn(paint.coats.at, fmt::format("coats change nothing {}: no band shows anyway", lined ? "over a lining" : "over a sealer that is \"even\""),
                        lined ? "no coats" : "sealer = \"none\", \"one coat\" or \"two coats\", or no coats");
  }

  /// Drying compound shrinks and cracks under mesh, which lets it through (common practice).
  void check_tape() {
    const FinishingSpec& f = job_.finishing;
    if (*f.tape == TapeSpec::mesh && !f.compound->empty() && f.compound->front() != "setting")
      diagnostics_.warn(f.tape.at, "mesh tape is bedded in setting compound only", "compound = [\"setting\", …], or tape = \"paper\"", f.compound.at,
                        "the first coat is here");
  }

  void read_measured(TableReader& t) {
    const TomlNode* figures = t.written("workmanship");
    if (!figures || figures->type != TomlNode::Type::table) return;
    job_.finishing.workmanship.value.clear();
    TableReader inner = table("finishing.workmanship", figures);
    measured_fields(job_.finishing.measured.emplace(), inner);
    inner.finish();
  }

  void read_moment(TableReader& t, MomentSpec& m, std::size_t number) {
    const std::size_t errors_before = diagnostics_.all().size();
    moment_fields(m, t);
    name_by_number(m.name, 'T', number);
    const TomlNode* sky = t.written("sky");
    if (*m.sky == SkyName::iso_type && sky) m.iso_type = static_cast<int>(sky->number);
    if (const TomlNode* lamps = t.written("lamps")) {
      m.all_lamps = lamps->type == TomlNode::Type::text && lamps->text == "on";
      if (lamps->type == TomlNode::Type::list)
        for (const TomlNode& item : lamps->items) read_lamp_use(m.lamp_uses.emplace_back(), item);
    }
    if (diagnostics_.all().size() > errors_before) return;
    if (*m.sky != SkyName::none && !m.time.given)
      diagnostics_.error(m.at, fmt::format("moment \"{}\" has a sky and no time", *m.name), "at = 2026-06-21T20:40:00, or sky = \"none\"");
    if (*m.sky == SkyName::none && !m.all_lamps && m.lamps->empty())
      diagnostics_.error(m.at, fmt::format("moment \"{}\" has neither sky nor lamps: all is dark", *m.name), "lamps = \"on\"");
    if (m.all_lamps && job_.lamps.empty())
      diagnostics_.error(m.lamps.at, "there is no lamp to switch on", "a [[lamp]], or lamps = \"off\"");
  }

  void read_lamp_use(LampUse& use, const TomlNode& item) {
    if (item.type == TomlNode::Type::table) {
      TableReader inner = table("moment.lamps", &item);
      lamp_use_fields(use, inner);
      inner.finish();
    } else {
      use.name = item.text;
      use.name.at = item.at;
    }
    if (!use.name->empty()) lamp_mentions_.emplace_back(*use.name, use.name.at);
  }

  void read_viewer(TableReader& t, ViewerSpec& v, std::size_t number) {
    viewer_fields(v, t);
    name_by_number(v.name, 'V', number);
    const TomlNode* look = t.written("look");
    if (!look || look->type != TomlNode::Type::list) return;
    dvec3 point;
    if (values().read(*look, *find_key("viewer", "look"), point)) v.look_point = point;
  }

  void read_verdict(TableReader& t) {
    job_.verdict.at = place("verdict");
    VerdictSpec& v = job_.verdict;
    verdict_fields(v, t);
    if (*v.faint > *v.shows) {
      const Key<double>& written = v.faint.given ? v.faint : v.shows;
      diagnostics_.error(written.at, fmt::format("faint = {} is above shows = {}", number_text(*v.faint), number_text(*v.shows)),
                         "faint at most shows");
    }
  }

  void read_paper(TableReader& t) {
    PaperSpec& p = job_.paper;
    p.at = place("paper");
    paper_fields(p, t);
    if (p.valid_days.given && !p.date.given)
      diagnostics_.warn(p.valid_days.at, "valid_days counts from a date, and the paper has none: the line is left blank", "date = 2026-05-04 or the like, or no valid_days");
  }

  /// Coordinates go in pairs; without them the zone's city stands in. Only a sky needs them.
  void find_site() {
    SiteSpec& site = job_.site;
    const TomlEntry* written = file_.find("site");
    const Span heading = written ? written->value.at : Span{0, 0};
    if (site.latitude_deg.given != site.longitude_deg.given) {
      const bool latitude = site.latitude_deg.given;
      diagnostics_.error((latitude ? site.latitude_deg : site.longitude_deg).at, fmt::format("{} without {}", latitude ? "latitude" : "longitude", latitude ? "longitude" : "latitude"),
                         "both, or neither and a time_zone");
      return;
    }
    bool sky = false;
    for (const MomentSpec& m : job_.moments) sky = sky || *m.sky != SkyName::none;
    if (sky && !site.time_zone.given) {
      diagnostics_.error(heading, "a moment has a sky, and the site has no time zone", "time_zone = \"Europe/London\" or the like in [site]");
      return;
    }
    if (site.latitude_deg.given || site.time_zone->empty()) return;
    if (const auto city = zone_city(*site.time_zone)) {
      site.latitude_deg.value = city->latitude_deg;
      site.longitude_deg.value = city->longitude_deg;
    } else if (sky) {
      const std::string near = nearest_word(*site.time_zone, zone_names());
      diagnostics_.error(site.time_zone.at, fmt::format("no city is known for the time zone \"{}\"", *site.time_zone),
                         (near.empty() ? "" : "\"" + near + "\", or ") + std::string("latitude and longitude in [site]"));
    }
  }

  const TomlNode& file_;
  std::string_view text_;
  Diagnostics& diagnostics_;
  Job job_;
  std::vector<Mention> lamp_mentions_;
};

}  // namespace

std::optional<Job> read_job(const JobText& text, Diagnostics& diagnostics) {
  const std::optional<TomlNode> file = parse_tree(text.text(), diagnostics);
  if (!file) return std::nullopt;
  Diagnostics own;
  std::optional<Job> job = JobReader(*file, text.text(), own).read();
  for (const Diagnostic& d : own.all()) {
    if (d.level == Diagnostic::Level::error) diagnostics.error(d.at, d.wrong, d.right, d.other, d.other_says);
    else diagnostics.warn(d.at, d.wrong, d.right, d.other, d.other_says);
  }
  return job;
}

}  // namespace rakelight
