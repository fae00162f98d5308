#include "report/map.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/plot.h"

namespace rakelight {
namespace {

constexpr Tone paper{252, 252, 250}, ink{24, 24, 24}, opening{226, 226, 224}, edge{90, 90, 90}, white{255, 255, 255};
// one hue, from pale to dark; and cold and dark over grey to warm and light, so that a sign is kept without colour
constexpr std::array<Tone, 4> one_hue{Tone{250, 244, 232}, Tone{236, 178, 108}, Tone{188, 92, 28}, Tone{84, 32, 6}};
constexpr std::array<Tone, 5> two_hues{Tone{14, 34, 74}, Tone{70, 96, 140}, Tone{172, 172, 170}, Tone{236, 190, 116}, Tone{255, 240, 206}};

template <std::size_t n>
Tone ramp(const std::array<Tone, n>& tones, double share) {
  const double at = std::clamp(share, 0.0, 1.0) * (n - 1);
  const auto i = std::min(static_cast<std::size_t>(at), n - 2);
  return mixed(tones[i], tones[i + 1], at - static_cast<double>(i));
}

/// The least of 1, 2, 3, 4, 5, 6, 8, 10 … times a power of ten that is at least v > 0.
double round_above(double v) {
  const double ten = std::pow(10, std::floor(std::log10(v)));
  for (const double m : {1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0})
    if (v <= m * ten * (1 + 1e-9)) return m * ten;
  return 10 * ten;
}

std::string what(MapKind kind) {
  switch (kind) {
    case MapKind::relief: return "Relief: height over the flat board face";
    case MapKind::slope: return "Slope of the relief";
    case MapKind::illuminance: return "Illuminance on the flat face";
    case MapKind::raking: return "Raking ratio, light along the face to light onto it; strokes lie along the light, their dot towards it";
    case MapKind::shade: return "Shade: how much lighter or darker the relief makes it than the flat face";
    case MapKind::visibility: return "Visibility V of each joint, from wherever it is seen best";
  }
  return "";
}

struct Scale {
  double lo = 0, hi = 1;       ///< in the map's own unit
  bool logarithmic = false, signed_ = false, light = false;  ///< light: more of it is lighter
  bool clips_low = false, clips_high = false;
  std::vector<double> ticks, contours;
  double share(double v) const {
    return logarithmic ? std::log(std::max(v, lo) / lo) / std::log(hi / lo) : (v - lo) / (hi - lo);
  }
  Tone tone_at(double share) const { return signed_ ? ramp(two_hues, share) : ramp(one_hue, light ? 1 - share : share); }
  Tone tone(double v) const { return tone_at(share(v)); }
};

std::vector<double> sorted_values(const Map& map, double per_si) {
  std::vector<double> values;
  for (const double v : map.value)
    if (std::isfinite(v)) values.push_back(v * per_si);
  std::sort(values.begin(), values.end());
  return values;
}

Scale scale_of(const Study& study, const Map& map) {
  Scale s;
  s.light = map.kind == MapKind::illuminance;
  const std::vector<double> values = sorted_values(map, map_unit(map.kind).per_si);
  const auto quantile = [&](double q) { return values.empty() ? 0.0 : values[static_cast<std::size_t>(q * static_cast<double>(values.size() - 1))]; };
  const VerdictSpec& rules = study.job.verdict;
  const bool small = map.kind == MapKind::relief || map.kind == MapKind::shade;
  const double lo = small ? quantile(0.0005) : quantile(0.005), hi = small ? quantile(0.9995) : quantile(0.995);
  // what a face without relief or light is drawn with
  const double least = map.kind == MapKind::relief ? 0.05 : map.kind == MapKind::shade ? 0.1 : map.kind == MapKind::illuminance ? 1 : 0.1;
  if (map.kind == MapKind::shade || (map.kind == MapKind::relief && lo < -0.05 * std::max(hi, least))) {
    s.signed_ = true;
    s.hi = round_above(std::max({-lo, hi, least}));
    s.lo = -s.hi;
    s.ticks = {s.lo, s.lo / 2, 0, s.hi / 2, s.hi};
  } else if (map.kind == MapKind::illuminance && lo > 0 && hi > 15 * lo) {
    s.logarithmic = true;
    s.lo = std::pow(10, std::floor(std::log10(lo)));
    s.hi = round_above(hi);
    for (double ten = s.lo; ten <= s.hi; ten *= 10)
      for (const double m : {1.0, 2.0, 5.0})
        if (m * ten >= s.lo && m * ten <= s.hi * (1 + 1e-9)) s.ticks.push_back(m * ten);
  } else {
    s.hi = round_above(std::max(hi, map.kind == MapKind::visibility ? 1.5 * *rules.shows : least));
    for (int i = 0; i <= 5; ++i) s.ticks.push_back(s.hi * i / 5);
  }
  s.clips_low = !values.empty() && values.front() < s.lo * (s.lo < 0 ? 1 + 1e-9 : 1 - 1e-9);
  s.clips_high = !values.empty() && values.back() > s.hi * (1 + 1e-9);
  if (map.kind == MapKind::visibility) s.contours = {*rules.faint, *rules.shows};
  if (map.kind == MapKind::raking) s.contours = {0.5, 1, 2, 4, 8, 16, 32};
  if (map.kind == MapKind::illuminance) {
    for (const double t : s.ticks)
      if (t > s.lo && t < s.hi) s.contours.push_back(t);
  }
  return s;
}

struct Segment { dvec2 a{0}, b{0}; };  ///< in cells, from the middle of the first one

/// Where a field passes a level, by linear interpolation along the sides between cells' middles (marching squares; the two
/// ambiguous cases by their mean). Cells without a value count as `outside` where that is finite, else nothing is drawn there.
std::vector<Segment> contour(const Map& map, double level, double outside) {
  std::vector<Segment> segments;
  const auto value = [&](int i, int j) {
    const double v = map.at(i, j);
    return std::isfinite(v) ? v : outside;
  };
  for (int j = 0; j + 1 < map.ny; ++j)
    for (int i = 0; i + 1 < map.nx; ++i) {
      const std::array<double, 4> v{value(i, j), value(i + 1, j), value(i + 1, j + 1), value(i, j + 1)};
      if (!std::all_of(v.begin(), v.end(), [](double x) { return std::isfinite(x); })) continue;
      static constexpr std::array<dvec2, 4> corner{dvec2{0, 0}, dvec2{1, 0}, dvec2{1, 1}, dvec2{0, 1}};
      std::array<dvec2, 4> crossing{};
      std::array<bool, 4> crossed{};
      int count = 0;
      for (std::size_t k = 0; k < 4; ++k) {
        const std::size_t m = (k + 1) % 4;
        crossed[k] = (v[k] < level) != (v[m] < level);
        if (!crossed[k]) continue;
        ++count;
        crossing[k] = dvec2(i, j) + corner[k] + (level - v[k]) / (v[m] - v[k]) * (corner[m] - corner[k]);
      }
      const auto add = [&](std::size_t a, std::size_t b) { segments.push_back({crossing[a], crossing[b]}); };
      if (count == 4) {
        const bool high = 0.25 * (v[0] + v[1] + v[2] + v[3]) >= level;
        if (high == (v[0] >= level)) {
          add(0, 1);
          add(2, 3);
        } else {
          add(3, 0);
          add(1, 2);
        }
      } else if (count == 2) {
        std::size_t first = 4;
        for (std::size_t k = 0; k < 4; ++k)
          if (crossed[k]) {
            if (first == 4) first = k;
            else add(first, k);
          }
      }
    }
  return segments;
}

double text_size(int width) { return std::clamp(width / 90.0, 11.0, 40.0); }

class MapPlot {
 public:
  MapPlot(const Study& study, const Map& map, int width, int height)
      : study_(study), map_(map), unit_(map_unit(map.kind)), scale_(scale_of(study, map)), plot_(width, height, paper, ink), size_(text_size(width)) {
    const double room_x = width - 6.5 * size_, room_y = height - 13 * size_;
    per_m_ = std::min(room_x / map.box.width(), room_y / map.box.height());
    // what is left over is shared out evenly
    left_ = 4.5 * size_ + 0.5 * (room_x - per_m_ * map.box.width());
    top_ = 4.8 * size_ + 0.5 * (room_y - per_m_ * map.box.height());
    bottom_ = top_ + per_m_ * map.box.height();
  }

  Image draw(const std::vector<std::string>& heading) {
    double y = 1.7 * size_;
    assert(heading.size() <= 2);
    for (std::size_t i = 0; i < heading.size(); ++i, y += 1.5 * size_) {
      double size = i == 0 ? 1.15 * size_ : size_;
      while (plot_.width_of(heading[i], size, i == 0) > plot_.width() - 3 * size_ && size > 6) size -= 0.5;
      plot_.text(1.5 * size_, y, size, heading[i], 0, i == 0);
    }
    draw_cells();
    draw_openings();
    draw_contours();
    draw_strokes();
    draw_names();
    draw_ruler();
    draw_legend();
    return plot_.image();
  }

 private:
  dvec2 place(dvec2 p) const { return {left_ + (p.x - map_.box.lo.x) * per_m_, bottom_ - (p.y - map_.box.lo.y) * per_m_}; }

  void draw_cells() {
    const int w = static_cast<int>(std::lround(per_m_ * map_.box.width())), h = static_cast<int>(std::lround(per_m_ * map_.box.height()));
    Image cells(w, h, 3);
    const Surface& face = study_.room.surfaces[static_cast<std::size_t>(map_.surface)];
    for (int j = 0; j < h; ++j)
      for (int i = 0; i < w; ++i) {
        const dvec2 p{map_.box.lo.x + (i + 0.5) / per_m_, map_.box.lo.y + (h - j - 0.5) / per_m_};
        const double v = map_.at(p) * unit_.per_si;
        Tone t = std::isfinite(v) ? scale_.tone(v) : is_bare_face(study_.room, map_.surface, p) ? white : face.contains(p) ? opening : paper;
        for (int k = 0; k < 3; ++k) cells.at(i, j, k) = static_cast<float>(t[static_cast<std::size_t>(k)]);
      }
    plot_.put(static_cast<int>(std::lround(left_)), static_cast<int>(std::lround(top_)), cells);
    const auto& o = face.outline;
    for (std::size_t i = 0; i < o.size(); ++i) plot_.line(place(o[i]), place(o[(i + 1) % o.size()]), 1.5, edge);
  }

  void draw_openings() {
    const auto mark = [&](const Rect& r, const std::string& word) {
      const dvec2 a = place({r.lo.x, r.hi.y}), b = place({r.hi.x, r.lo.y});
      plot_.frame(a.x, a.y, b.x - a.x, b.y - a.y, 1.5, edge);
      plot_.text(0.5 * (a.x + b.x), 0.5 * (a.y + b.y) + 0.35 * size_, 0.9 * size_, word, 0.5);
    };
    for (const Window& w : study_.room.windows)
      if (w.surface == map_.surface) mark(w.opening, w.name);
    for (const Door& d : study_.room.doors)
      if (d.surface == map_.surface) mark(d.opening, "door");
  }

  void draw_contours() {
    const double outside = map_.kind == MapKind::visibility ? 0 : std::numeric_limits<double>::quiet_NaN();
    for (std::size_t c = 0; c < scale_.contours.size(); ++c) {
      const double level = scale_.contours[c];
      const std::vector<Segment> segments = contour(map_, level / unit_.per_si, outside);
      const auto at = [&](dvec2 cell) {
        return place(map_.box.lo + dvec2((cell.x + 0.5) / map_.nx * map_.box.width(), (cell.y + 0.5) / map_.ny * map_.box.height()));
      };
      const bool limit = map_.kind == MapKind::visibility, second = limit && c == 1;
      for (const Segment& s : segments) plot_.line(at(s.a), at(s.b), second ? 3 : 1.2, ink);
      if (limit || segments.empty()) continue;
      // named once, at mid height where it gets there
      const Segment* best = &segments.front();
      for (const Segment& s : segments)
        if (std::abs(s.a.y - 0.5 * map_.ny) < std::abs(best->a.y - 0.5 * map_.ny)) best = &s;
      const dvec2 p = at(best->a);
      plot_.text_over(std::clamp(p.x, left_ + 2 * size_, left_ + per_m_ * map_.box.width() - 2 * size_), p.y + 0.35 * size_, 0.85 * size_, number_text(level), 0.5, ink, white);
    }
  }

  void draw_strokes() {
    const double half = 0.1 * per_m_;
    for (const Stroke& s : map_.strokes) {
      const dvec2 p = place(s.at), along{s.towards.x, -s.towards.y};
      const double line = std::clamp(half / 14, 1.0, 4.0);
      plot_.line(p - half * along, p + half * along, line + 2, white);
      plot_.line(p - half * along, p + half * along, line, ink);
      plot_.line(p + half * along, p + half * along, 3.2 * line, ink);
    }
  }

  void draw_names() {
    if (map_.kind != MapKind::relief && map_.kind != MapKind::visibility && map_.kind != MapKind::shade) return;
    const Layout& layout = study_.layouts[static_cast<std::size_t>(map_.surface)];
    std::vector<std::pair<dvec2, dvec2>> taken;
    for (const JointLine& line : layout.joints) {
      if (!joins_sheets(line.kind)) continue;
      const std::string name = line.id.substr(line.id.find('/') + 1);
      const double size = 0.85 * size_, w = plot_.width_of(name, size);
      // off the joint's own film, a third along it
      const dvec2 on = place(line.from + line.length() / 3 * line.along());
      const bool level = std::abs(line.along().x) > std::abs(line.along().y);
      const dvec2 p = level ? dvec2(on.x - 0.5 * w, on.y - 0.4 * size) : dvec2(on.x + 0.4 * size, on.y + 0.35 * size);
      const dvec2 lo{p.x, p.y - size}, hi{p.x + w, p.y};
      if (std::any_of(taken.begin(), taken.end(), [&](const auto& t) { return lo.x < t.second.x && t.first.x < hi.x && lo.y < t.second.y && t.first.y < hi.y; })) continue;
      taken.emplace_back(lo, hi);
      plot_.text_over(p.x, p.y, size, name, 0, ink, white);
    }
  }

  void draw_ruler() {
    const bool feet = study_.job.units == Units::inch;
    const double unit = feet ? 0.3048 : 1;
    const auto axis = [&](double lo, double hi, bool across) {
      int every = 1;
      while ((hi - lo) / unit / every * 3.2 * size_ > per_m_ * (hi - lo)) every = every == 1 ? 2 : every == 2 ? 5 : every * 2;
      for (int k = static_cast<int>(std::ceil(lo / unit - 1e-9)); k * unit <= hi + 1e-9; ++k) {
        if (k % every != 0) continue;
        const dvec2 p = place(across ? dvec2(k * unit, map_.box.lo.y) : dvec2(map_.box.lo.x, k * unit));
        plot_.line(p, p + (across ? dvec2(0, 0.5 * size_) : dvec2(-0.5 * size_, 0)), 1.2, ink);
        const std::string text = fmt::format("{}", k) + (k == 0 ? feet ? " ft" : " m" : "");
        if (across) plot_.text(p.x, p.y + 1.6 * size_, 0.9 * size_, text, 0.5);
        else if (k != 0) plot_.text(p.x - 0.8 * size_, p.y + 0.35 * size_, 0.9 * size_, text, 1);
      }
    };
    axis(map_.box.lo.x, map_.box.hi.x, true);
    axis(map_.box.lo.y, map_.box.hi.y, false);
  }

  void draw_legend() {
    const double length = std::min(0.5 * plot_.width(), 60 * size_), x = left_, y = plot_.height() - 4.4 * size_, thick = 1.1 * size_;
    const int steps = static_cast<int>(length);
    for (int i = 0; i < steps; ++i) {
      const double share = (i + 0.5) / steps;
      plot_.box(x + i, y, 1.5, thick, scale_.tone_at(share));
    }
    plot_.frame(x, y, length, thick, 1, edge);
    double last = -1e9;
    for (std::size_t i = 0; i < scale_.ticks.size(); ++i) {
      const double tick = scale_.ticks[i], at = x + length * scale_.share(tick);
      plot_.line({at, y + thick}, {at, y + 1.4 * thick}, 1.2, ink);
      const std::string text = (i == 0 && scale_.clips_low ? "≤ " : i + 1 == scale_.ticks.size() && scale_.clips_high ? "≥ " : "") + number_text(std::round(tick * 1e6) / 1e6);
      const double half = 0.5 * plot_.width_of(text, 0.9 * size_);
      if (at - half < last) continue;
      last = at + half + 0.4 * size_;
      plot_.text(at, y + 2.6 * thick, 0.9 * size_, text, 0.5);
    }
    plot_.text(x + length + 1.5 * size_, y + 0.9 * thick, size_, unit_.text);
    double size = 0.95 * size_;
    const std::string words = what(map_.kind);
    while (plot_.width_of(words, size) > plot_.width() - x - size_ && size > 6) size -= 0.5;
    plot_.text(x, y - 0.7 * size_, size, words);
    std::string foot = "a prediction, not an acceptance ruling";
    if (map_.kind == MapKind::visibility)
      foot = fmt::format("within the thin line: {} or more, may be noticed; within the heavy line: {} or more, shows · ", number_text(*study_.job.verdict.faint), number_text(*study_.job.verdict.shows)) + foot;
    size = 0.85 * size_;
    while (plot_.width_of(foot, size) > plot_.width() - x - size_ && size > 6) size -= 0.5;
    plot_.text(x, plot_.height() - 0.5 * size_, size, foot);
  }

  const Study& study_;
  const Map& map_;
  MapUnit unit_;
  Scale scale_;
  Plot plot_;
  double size_, per_m_ = 1, left_ = 0, top_ = 0, bottom_ = 0;
};

}  // namespace

MapUnit map_unit(MapKind kind) {
  switch (kind) {
    case MapKind::relief: return {"mm", mm_per_m};
    case MapKind::slope: return {"mm/m", mm_per_m};
    case MapKind::illuminance: return {"lx", 1};
    case MapKind::raking: return {"times", 1};
    case MapKind::shade: return {"%", 100};
    case MapKind::visibility: return {"V", 1};
  }
  return {"", 1};
}

dvec2 map_room(int width, int height) {
  const double size = text_size(width);
  return {std::max(1.0, width - 6.5 * size), std::max(1.0, height - 13 * size)};
}

Image map_picture(const Study& study, const Map& map, const std::vector<std::string>& heading, int width, int height) {
  return MapPlot(study, map, width, height).draw(heading);
}

std::string map_csv(const Map& map) {
  const MapUnit unit = map_unit(map.kind);
  const char* column[] = {"relief_mm", "slope_mm_per_m", "illuminance_lx", "raking_ratio", "shade_percent", "visibility"};
  std::string out = fmt::format("x_mm,y_mm,{}\n", column[static_cast<int>(map.kind)]);
  for (int j = 0; j < map.ny; ++j)
    for (int i = 0; i < map.nx; ++i) {
      const double v = map.at(i, j);
      if (!std::isfinite(v)) continue;
      const dvec2 p = map.middle(i, j) * mm_per_m;
      out += fmt::format("{},{},{}\n", fixed_text(p.x, 1), fixed_text(p.y, 1), fixed_text(v * unit.per_si, 5));
    }
  return out;
}

}  // namespace rakelight
