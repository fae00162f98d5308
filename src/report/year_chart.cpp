// A year at a glance: days across, hours down, one panel per face. Verdict is told by tone (and is so in grey too): pale for
// hidden, a middle tone for faint, the accent for shows; night is dark. A band below each panel is for lamps alone.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "report/plot.h"
#include "report/year.h"

namespace rakelight {
namespace {

constexpr Tone ground{46, 46, 46}, words{232, 232, 232}, rule{119, 119, 119}, night{70, 70, 72}, hidden{206, 206, 204}, faint{146, 142, 138}, shows{196, 84, 20};

constexpr int day_px = 3, hour_px = 14, left = 64, right = 24, title_px = 46, panel_title = 26, band_px = 16, gap_px = 30, months_px = 20, key_px = 40;

const Tone& tone_of(Verdict v) { return v == Verdict::shows ? shows : v == Verdict::faint ? faint : hidden; }

/// Hours of the clock that the panels span: from an hour before the earliest sunrise to an hour after the latest sunset.
struct Span24 { double from = 24, to = 0; };
Span24 hours_of(const YearReport& r) {
  Span24 s;
  for (const YearDay& d : r.year.days) {
    if (std::isfinite(d.sunrise)) s.from = std::min(s.from, clock_time(r.study.job.site, d.sunrise).hours);
    if (std::isfinite(d.sunset)) {
      const double h = clock_time(r.study.job.site, d.sunset).hours;
      s.to = std::max(s.to, std::isfinite(d.sunrise) && h < clock_time(r.study.job.site, d.sunrise).hours ? 24 : h);
    }
    if (d.light && !(std::isfinite(d.sunrise) && std::isfinite(d.sunset))) s = {0, 24};
  }
  if (s.from >= s.to) return {0, 24};
  return {std::max(0.0, std::floor(s.from - 1)), std::min(24.0, std::ceil(s.to + 1))};
}

class Panels {
 public:
  explicit Panels(const YearReport& r)
      : r_(r), hours_(hours_of(r)), panel_(static_cast<int>(hours_.to - hours_.from) * hour_px), columns_(static_cast<int>(r.year.days.size()) * day_px),
        each_(panel_title + panel_ + 4 + band_px + months_px + gap_px),
        sheet_(left + columns_ + right, title_px + each_ * static_cast<int>(r.year.faces.size()) + key_px, ground, words) {}

  Image draw() {
    const std::string sky = r_.climate ? "clear or overcast, weighted by the climate of " + r_.climate->place : "always the " + type_text(r_.year.sky_type) + " sky";
    sheet_.text(left, 30, 17, fmt::format("When joints show, {}: {}, lamps off", r_.year.year, sky));
    for (std::size_t f = 0; f < r_.year.faces.size(); ++f) draw_face(f, title_px + each_ * static_cast<int>(f));
    draw_key();
    return sheet_.image();
  }

 private:
  double y_of(double top, double hours) const { return top + (std::clamp(hours, hours_.from, hours_.to) - hours_.from) * hour_px; }

  // a stretch of one day, cut where the clock passes midnight
  template <class Paint> void stretch(double from, double to, double top, Paint&& paint) {
    const double a = clock_time(r_.study.job.site, from).hours, b = clock_time(r_.study.job.site, to).hours;
    const double end = b > a || to - from < 1e-9 ? b : 24;
    paint(y_of(top, a), y_of(top, end));
  }

  void draw_face(std::size_t f, int y) {
    const YearFace& face = r_.year.faces[f];
    const Surface& surface = r_.study.room.surfaces[face.surface];
    std::string title = (surface.kind == Surface::Kind::ceiling ? "ceiling" : surface.name + " wall") + ": ";
    title += face.shows_days == 0 ? "never shows by daylight" : fmt::format("shows on {} days, {} h", face.shows_days, fixed_text(face.shows_hours, 0));
    if (r_.climate) title += fmt::format(" if always clear, {} h expected", fixed_text(face.expected_shows_hours, 0));
    sheet_.text(left, y + 17, 14, title);
    const int top = y + panel_title;
    sheet_.box(left, top, columns_, panel_, night);
    for (std::size_t d = 0; d < r_.year.days.size(); ++d) {
      const YearDay& day = r_.year.days[d];
      const double x = left + static_cast<double>(d) * day_px;
      const double rise = std::isfinite(day.sunrise) ? day.sunrise : day.from, set = std::isfinite(day.sunset) ? day.sunset : day.to;
      if (day.light && set > rise) stretch(rise, set, top, [&](double a, double b) { sheet_.box(x, a, day_px, b - a, hidden); });
      if (day.light && set < rise) {
        stretch(day.from, set, top, [&](double a, double b) { sheet_.box(x, a, day_px, b - a, hidden); });
        stretch(rise, day.to, top, [&](double a, double b) { sheet_.box(x, a, day_px, b - a, hidden); });
      }
      if (r_.climate) draw_weighted(f, d, x, top);
      else
        for (const YearRun& run : day.runs[f])
          stretch(run.from, run.to, top, [&](double a, double b) { sheet_.box(x, a, day_px, b - a, tone_of(run.verdict)); });
    }
    for (double h = std::ceil(hours_.from / 3) * 3; h <= hours_.to; h += 3) {
      sheet_.box(left - 6, y_of(top, h), 6, 1, rule);
      sheet_.text(left - 10, y_of(top, h) + 4, 11, fmt::format("{:02}:00", static_cast<int>(h)), 1);
    }
    draw_lamps(face, top + panel_ + 4);
    draw_months(top + panel_ + 4 + band_px);
  }

  /// By slices of ten minutes, each toned by how likely the sky is clear.
  void draw_weighted(std::size_t f, std::size_t d, double x, double top) {
    const YearDay& day = r_.year.days[d];
    const auto verdict_at = [&](const Year& year, double at) {
      for (const YearRun& run : year.days[d].runs[f])
        if (run.from <= at && at < run.to) return run.verdict;
      return Verdict::hidden;
    };
    const int slices = static_cast<int>(std::lround((day.to - day.from) * 144));
    double share = 0;
    for (int i = 0; i < slices; ++i) {
      const double from = day.from + (day.to - day.from) * i / slices, to = day.from + (day.to - day.from) * (i + 1) / slices, middle = 0.5 * (from + to);
      if (i % 6 == 0) share = clear_share(r_.study, *r_.climate, from + 0.5 / 24);
      const Verdict clear = verdict_at(r_.year, middle), overcast = verdict_at(*r_.overcast, middle);
      if (clear == Verdict::hidden && overcast == Verdict::hidden) continue;
      stretch(from, to, top, [&](double a, double b) { sheet_.box(x, a, day_px, b - a, mixed(tone_of(overcast), tone_of(clear), share)); });
    }
  }

  void draw_lamps(const YearFace& face, double y) {
    for (const LampsAlone& l : r_.lamps)
      if (l.surface == face.surface && !l.joint.empty()) sheet_.box(left, y, columns_, band_px - 2, tone_of(l.judged.verdict));
    sheet_.text(left - 10, y + 11, 11, "lamps", 1);
    const bool any = std::any_of(r_.lamps.begin(), r_.lamps.end(), [&](const LampsAlone& l) { return l.surface == face.surface && !l.joint.empty(); });
    if (!any) sheet_.text(left + 4, y + 11, 11, "none");
  }

  void draw_months(double y) {
    static const char* const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    for (std::size_t d = 0; d < r_.year.days.size(); ++d) {
      if (r_.year.days[d].day != 1) continue;
      const double x = left + static_cast<double>(d) * day_px;
      sheet_.box(x, y, 1, 6, rule);
      sheet_.text(x + 4, y + 14, 11, names[r_.year.days[d].month - 1]);
    }
  }

  void draw_key() {
    const double y = title_px + each_ * static_cast<double>(r_.year.faces.size());
    double x = left;
    const auto entry = [&](const Tone& t, const std::string& word) {
      sheet_.box(x, y, 22, 14, t);
      sheet_.text(x + 30, y + 12, 13, word);
      x += 130;
    };
    entry(shows, "shows");
    entry(faint, "faint");
    entry(hidden, "hidden");
    entry(night, "night");
    sheet_.text(left + columns_, y + 12, 12, "a prediction: clocks of the site", 1);
  }

  const YearReport& r_;
  Span24 hours_;
  int panel_, columns_, each_;
  Plot sheet_;
};

}  // namespace

Image year_chart(const YearReport& report) { return Panels(report).draw(); }

}  // namespace rakelight
