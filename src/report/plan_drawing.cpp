// The room's plan for the paper: windows, doors, lamps with their distances from walls, which way the sun comes in.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/units.h"
#include "report/paper_parts.h"

namespace rakelight {
namespace {

constexpr double paper_mm = 62, small = 2.4;

class Plan {
 public:
  explicit Plan(const PaperFacts& facts) : facts_(facts), room_(facts.study.room) {
    lo_ = hi_ = room_.plan.front();
    for (dvec2 p : room_.plan) {
      lo_ = glm::min(lo_, p);
      hi_ = glm::max(hi_, p);
    }
    const dvec2 size = hi_ - lo_;
    scale_ = std::min((paper_mm - 2 * border) / size.y, 2 * (paper_mm - 2 * border) / size.x);
    d_.width = size.x * scale_ + 2 * border + 14;
    d_.height = size.y * scale_ + 2 * border;
    walls();
    openings();
    lamps();
    sun();
    north();
  }
  Drawing take() { return std::move(d_); }

 private:
  static constexpr double border = 9;

  dvec2 at(dvec2 p) const { return {border + (p.x - lo_.x) * scale_, border + (hi_.y - p.y) * scale_}; }

  void walls() {
    std::vector<dvec2> points;
    for (dvec2 p : room_.plan) points.push_back(at(p));
    d_.shapes.push_back({points, true, "#f6f6f4", "#000000", 0.9, {}});
    for (int w = 0; w < room_.wall_count(); ++w) {
      const Surface& face = room_.surfaces[static_cast<std::size_t>(w)];
      const dvec2 a = room_.plan[static_cast<std::size_t>(w)], b = room_.plan[static_cast<std::size_t>((w + 1) % room_.wall_count())];
      const dvec2 outwards = -glm::normalize(dvec2(face.frame.n));
      const dvec2 middle = at(0.5 * (a + b)) + dvec2(outwards.x, -outwards.y) * 5.0;
      Words words{middle + dvec2(0, 0.9), face.name, small, Words::Anchor::middle};
      words.upright = std::abs(b.y - a.y) > std::abs(b.x - a.x);
      if (words.upright) words.at = middle + dvec2(0.9, 0);
      d_.words.push_back(words);
    }
  }

  void openings() {
    for (const Window& w : room_.windows) opening(w.surface, w.opening, true);
    for (const Door& door : room_.doors) opening(door.surface, door.opening, false);
  }
  void opening(int surface, const Rect& o, bool window) {
    const Frame& frame = room_.surfaces[static_cast<std::size_t>(surface)].frame;
    const dvec2 a = at(dvec2(frame.world_from_surface({o.lo.x, 0}))), b = at(dvec2(frame.world_from_surface({o.hi.x, 0})));
    d_.line(a, b, "#ffffff", 1.6);
    const dvec2 t = glm::normalize(b - a), n(-t.y, t.x);
    if (window) {
      for (double off : {-0.7, 0.7}) d_.line(a + n * off, b + n * off, "#000000", 0.3);
    } else {
      d_.line(a, b, "#000000", 0.3, {1, 0.8});
    }
  }

  void lamps() {
    int number = 0;
    for (const LampSpec& lamp : facts_.job.lamps) {
      ++number;
      const dvec2 p = at(dvec2(*lamp.position));
      if (*lamp.kind == LampKind::strip) {
        d_.line(p, at(dvec2(*lamp.to)), "#000000", 0.9);
      } else {
        std::vector<dvec2> round;
        for (int i = 0; i < 24; ++i) round.push_back(p + 1.5 * dvec2(std::cos(i * pi / 12), std::sin(i * pi / 12)));
        d_.shapes.push_back({round, true, "#ffffff", "#000000", 0.35, {}});
        d_.line(p - dvec2(1.5, 0), p + dvec2(1.5, 0), "#000000", 0.25);
        d_.line(p - dvec2(0, 1.5), p + dvec2(0, 1.5), "#000000", 0.25);
      }
      d_.say(p + dvec2(2.1, -1.0), fmt::format("L{}", number), small, Words::Anchor::start, true);
    }
  }

  /// At the worst moment of the worst face.
  void sun() {
    const SurfaceResult* face = worst_face(facts_.source.assessment);
    if (!face) return;
    const JointResult& worst = *face->worst();
    const Moment& moment = facts_.study.moments[static_cast<std::size_t>(worst.seen[static_cast<std::size_t>(worst.worst)].moment)];
    if (moment.sky.dark || !moment.sky.sun_up) return;
    const dvec2 level(moment.sky.sun_direction);
    if (glm::length(level) < 1e-6) return;
    const dvec2 towards = glm::normalize(dvec2(level.x, -level.y));  // on paper y runs down
    const dvec2 middle = at(0.5 * (lo_ + hi_));
    const double reach = 0.5 * std::max((hi_ - lo_).x, (hi_ - lo_).y) * scale_;
    const dvec2 from = middle + towards * (reach * 0.55), to = middle - towards * (reach * 0.15), side(-towards.y, towards.x);
    d_.line(from, to, "#555555", 0.5, {2.5, 1.2});
    d_.polygon({to, to + towards * 3.2 + side * 1.2, to + towards * 3.2 - side * 1.2}, "#555555");
    d_.say(from + towards * 2.0, "sun", small, Words::Anchor::middle, false, "#333333");
  }

  void north() {
    const double bearing = -*facts_.job.site.north;
    const dvec2 n(std::sin(bearing), -std::cos(bearing)), side(-n.y, n.x), centre(d_.width - 8, 9);
    d_.line(centre - n * 5.0, centre + n * 5.0, "#000000", 0.3);
    d_.polygon({centre + n * 5.0, centre + n * 2.0 + side * 1.2, centre + n * 2.0 - side * 1.2}, "#000000");
    d_.say(centre + n * 6.8 + dvec2(0, 0.9), "N", small, Words::Anchor::middle, true);
  }

  const PaperFacts& facts_;
  const Room& room_;
  Drawing d_;
  dvec2 lo_{0}, hi_{0};
  double scale_ = 1;
};

}  // namespace

Drawing plan_drawing(const PaperFacts& facts) { return Plan(facts).take(); }

}  // namespace rakelight
