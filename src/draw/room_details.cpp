#include "draw/room_details.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "draw/draw.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

// how light a strip is drawn against its wall, and its edge, a rounded arris in its own shade
constexpr double strip_tone = 0.93, edge_tone = 0.72, edge_width = 0.008;
// how light the figure is against the mean of the faces: mid-grey clothes
constexpr double figure_tone = 0.42;
constexpr double clear_of_walls = 0.45, clear_of_eye = 1.8, step_between = 0.2, half_width = 0.32;   // m

/// Image points (pixels from the top left) of places in front of the eye.
struct Projector {
  glm::dmat3 inverse;
  dvec3 eye;
  explicit Projector(const Camera& camera) : inverse(glm::inverse(glm::dmat3(camera.step_x, camera.step_y, camera.corner))), eye(camera.eye) {}
  std::optional<dvec2> operator()(dvec3 world) const {
    const dvec3 q = inverse * (world - eye);
    if (q.z < 1e-6) return std::nullopt;
    return dvec2(q.x, q.y) / q.z;
  }
};

double covered(double from_edge, double footprint) { return std::clamp(0.5 + from_edge / std::max(footprint, 1e-9), 0.0, 1.0); }

double segment_distance(dvec2 p, dvec2 a, dvec2 b) {
  const dvec2 d = b - a;
  return glm::length(p - a - d * std::clamp(glm::dot(p - a, d) / std::max(glm::dot(d, d), 1e-12), 0.0, 1.0));
}

/// Half the width at a height, straight between the points given.
double half_width_at(double z, const std::vector<dvec2>& outline) {
  for (std::size_t i = 1; i < outline.size(); ++i)
    if (z <= outline[i].x) return glm::mix(outline[i - 1].y, outline[i].y, (z - outline[i - 1].x) / (outline[i].x - outline[i - 1].x));
  return outline.back().y;
}

/// Distance out of the figure's outline, m; x from its middle, z from its feet, for a height of 1.75 m.
double out_of_figure(double x, double z) {
  x = std::abs(x);
  static const std::vector<dvec2> trunk{{0.78, 0.165}, {0.88, 0.178}, {1.06, 0.150}, {1.28, 0.195}, {1.38, 0.205}, {1.43, 0.17}, {1.475, 0.07}};
  static const std::vector<dvec2> leg{{0.0, 0.052}, {0.06, 0.045}, {0.12, 0.042}, {0.35, 0.056}, {0.48, 0.054}, {0.82, 0.084}};
  const double head = (glm::length(dvec2(x / 0.078, (z - 1.628) / 0.122)) - 1) * 0.078;
  const double neck = segment_distance({x, z}, {0, 1.40}, {0, 1.53}) - 0.052;
  const double body = std::max({x - half_width_at(z, trunk), z - 1.475, 0.78 - z});
  const double legs = std::max({std::abs(x - 0.088) - half_width_at(z, leg), z - 0.82, -z});
  const double arm = std::min(segment_distance({x, z}, {0.180, 1.375}, {0.232, 1.09}) - 0.046, segment_distance({x, z}, {0.232, 1.09}, {0.226, 0.80}) - 0.037);
  return std::min({head, neck, body, legs, arm});
}

}  // namespace

void draw_fittings(Image& both, const Camera& camera, const Job& job, const Room& room) {
  struct Widths { double foot = 0, top = 0; };
  std::vector<Widths> widths(room.surfaces.size());
  bool any = false;
  for (std::size_t s = 0; s < widths.size(); ++s) {
    const Surface& face = room.surfaces[s];
    if (face.kind != Surface::Kind::wall || face.spec < 0) continue;
    const SurfaceSpec& spec = job.surfaces[static_cast<std::size_t>(face.spec)];
    if (*spec.junction_bottom == FootJunctionSpec::skirting) widths[s].foot = *spec.skirting;
    if (*spec.junction_top == TopJunctionSpec::cornice) widths[s].top = *spec.cornice;
    any = any || widths[s].foot > 0 || widths[s].top > 0;
  }
  if (!any) return;
  for_each_index(both.height, [&](int y) {
    for (int x = 0; x < both.width; ++x) {
      const float id = both.at(x, y, 2);
      if (pixel_kind(id) != PixelKind::face) continue;
      const auto surface = static_cast<std::size_t>(pixel_surface(id));
      const Surface& face = room.surfaces[surface];
      const auto [foot, top] = widths[surface];
      if (foot <= 0 && top <= 0) continue;
      const dvec3 ray = camera.corner + (x + 0.5) * camera.step_x + (y + 0.5) * camera.step_y;
      const double towards = glm::dot(ray, face.frame.n);
      if (towards > -1e-9) continue;
      const double t = -face.frame.height_of(camera.eye) / towards;
      const double at = face.frame.surface_from_world(camera.eye + t * ray).y;
      // height of a pixel on the face: how far the point moves from row to row
      const dvec3 next = ray + camera.step_y;
      const double below = face.frame.surface_from_world(camera.eye - face.frame.height_of(camera.eye) / std::min(glm::dot(next, face.frame.n), -1e-9) * next).y;
      const double footprint = std::abs(at - below);
      const auto strip = [&both, x, y, footprint](double inside, double width) {   // inside: m from its edge towards the wall
        if (width <= 0) return;
        const double share = covered(inside, footprint);
        if (share <= 0) return;
        const double edge = share - covered(inside - edge_width, footprint);
        const double flat = both.at(x, y, 1), tone = (share - edge) * strip_tone + edge * edge_tone;
        both.at(x, y, 0) = static_cast<float>((1 - share) * both.at(x, y, 0) + tone * flat);
        both.at(x, y, 1) = static_cast<float>((1 - share) * flat + tone * flat);
      };
      strip(foot - at, foot);
      strip(at - (room.height - top), top);
    }
  });
}

std::optional<dvec2> figure_place(const Image& both, const Camera& camera, const Room& room, int judged) {
  const Projector project(camera);
  // sums of the relief's shade over everything left of and above a pixel; no shade in the world comes to so much as a pixel judged
  constexpr double never = 1e6;
  const auto wide = static_cast<std::size_t>(both.width) + 1;
  std::vector<double> shade(wide * (static_cast<std::size_t>(both.height) + 1), 0.0);
  for (int y = 0; y < both.height; ++y)
    for (int x = 0; x < both.width; ++x) {
      const double flat = both.at(x, y, 1);
      const bool face = pixel_kind(both.at(x, y, 2)) == PixelKind::face;
      const double here = face && judged >= 0 && pixel_surface(both.at(x, y, 2)) == judged ? never : face && flat > 0 ? std::abs(both.at(x, y, 0) / flat - 1) : 0;
      const auto i = static_cast<std::size_t>(y) * wide + static_cast<std::size_t>(x);
      shade[i + wide + 1] = here + shade[i + wide] + shade[i + 1] - shade[i];
    }
  const auto sum_at = [&](int x, int y) { return shade[static_cast<std::size_t>(y) * wide + static_cast<std::size_t>(x)]; };
  dvec2 lo = room.plan.front(), hi = lo;
  for (const dvec2 c : room.plan) {
    lo = glm::min(lo, c);
    hi = glm::max(hi, c);
  }
  std::optional<dvec2> best;
  double least = 1e30;
  for (double py = lo.y; py <= hi.y; py += step_between)
    for (double px = lo.x; px <= hi.x; px += step_between) {
      const dvec2 place{px, py};
      if (!room.contains(place)) continue;
      double clear = 1e9;
      for (std::size_t i = 0; i < room.plan.size(); ++i) clear = std::min(clear, segment_distance(place, room.plan[i], room.plan[(i + 1) % room.plan.size()]));
      const dvec2 away = place - dvec2(camera.eye.x, camera.eye.y);
      const double distance = glm::length(away);
      if (clear < clear_of_walls || distance < clear_of_eye || figure_height + 0.1 > room.height) continue;
      if (!room.sees(camera.eye, dvec3(place, 1))) continue;
      const dvec2 side = half_width * dvec2(-away.y, away.x) / distance;
      dvec2 from(1e9), to(-1e9);
      bool in = true;
      for (const double s : {-1.0, 1.0})
        for (const double z : {0.0, figure_height}) {
          const auto p = project(dvec3(place + s * side, z));
          in = in && p;
          if (!p) continue;
          from = glm::min(from, *p);
          to = glm::max(to, *p);
        }
      const double margin = 0.02 * both.width;
      if (!in || from.x < margin || from.y < margin || to.x > both.width - margin || to.y > both.height - margin) continue;
      const int x0 = static_cast<int>(from.x), y0 = static_cast<int>(from.y), x1 = static_cast<int>(to.x), y1 = static_cast<int>(to.y);
      // a small weight for the picture's area keeps the figure far and small
      const double hidden = sum_at(x1, y1) - sum_at(x0, y1) - sum_at(x1, y0) + sum_at(x0, y0) + 1e-3 * (x1 - x0) * (y1 - y0);
      if (hidden >= least || hidden > 0.5 * never) continue;
      least = hidden;
      best = place;
    }
  return best;
}

void draw_figure(Image& both, const Camera& camera, dvec2 place) {
  const Projector project(camera);
  const dvec2 away = place - dvec2(camera.eye.x, camera.eye.y);
  const dvec3 normal(-away / glm::length(away), 0), side(normal.y, -normal.x, 0), foot(place, 0);
  double sum = 0, faces = 0;
  for (std::size_t i = 0; i < both.pixels.size(); i += 3)
    if (pixel_kind(both.pixels[i + 2]) == PixelKind::face) {
      sum += both.pixels[i + 1];
      ++faces;
    }
  const double luminance = faces > 0 ? figure_tone * sum / faces : 0;
  dvec2 from(1e9), to(-1e9);
  for (const double s : {-half_width, half_width})
    for (const double z : {0.0, figure_height + 0.02})
      if (const auto p = project(foot + s * side + dvec3(0, 0, z))) {
        from = glm::min(from, *p - 2.0);
        to = glm::max(to, *p + 2.0);
      }
  for (int y = std::max(0, static_cast<int>(from.y)); y < std::min(both.height, static_cast<int>(to.y) + 1); ++y)
    for (int x = std::max(0, static_cast<int>(from.x)); x < std::min(both.width, static_cast<int>(to.x) + 1); ++x) {
      const dvec3 ray = camera.corner + (x + 0.5) * camera.step_x + (y + 0.5) * camera.step_y;
      const double towards = glm::dot(normal, ray);
      if (towards > -1e-9) continue;
      const double t = glm::dot(normal, foot - camera.eye) / towards;
      const dvec3 at = camera.eye + t * ray - foot;
      const double share = covered(-out_of_figure(glm::dot(at, side), at.z), t * glm::length(camera.step_x));
      for (int c = 0; c < 2; ++c) both.at(x, y, c) = static_cast<float>((1 - share) * both.at(x, y, c) + share * luminance);
      // no face any more, so that exposure and screens take no notice of it
      if (share > 0.5) both.at(x, y, 2) = 0;
    }
}

}  // namespace rakelight
