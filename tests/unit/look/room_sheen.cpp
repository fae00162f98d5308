// Sheen of the room's faces by its few fixed rays, against very many rays of the same lobes (Heitz 2018's visible
// normals on a golden-section lattice) that see the faces sharp.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <vector>
#include <fmt/format.h>

#include "look/scene_set.h"
#include "unit/look/stage.h"
#include "support/validated.h"

using namespace rakelight;
using rakelight::testing::Stage;

namespace {

double many_rays(kernel::SceneKernels& k, const kernel::SceneKernels::Place& a, const kernel::SceneKernels::FacetAxes& f) {
  constexpr int rays = 4000;
  double weights = 0, sum = 0;
  for (int i = 0; i < rays; ++i) {
    const double radius = std::sqrt((i + 0.5) / rays), turn = 2 * pi * std::fmod(i * 0.6180339887498949, 1.0);
    for (const bool second : {false, true}) {
      const double alpha = second ? a.coat.alpha85 : a.coat.alpha60;
      const dvec3 h = kernel::visible_normal(f.eye, alpha, radius * std::cos(turn), radius * std::sin(turn));
      const dvec3 light = 2 * glm::dot(f.eye, h) * h - f.eye;
      if (light.z <= 0) continue;
      const double out = kernel::smith_lambda(f.eye.z, alpha), in = kernel::smith_lambda(light.z, alpha);
      dvec3 w = light.x * f.x + light.y * f.y + light.z * f.n;
      const double blend = kernel::grazing_weight(kernel::grazing_share(w.z), a.eye_share);
      const double weight = kernel::fresnel(glm::dot(f.eye, h), a.coat.index) * (1 + out) / (1 + out + in) * (second ? blend : 1 - blend);
      if (weight <= 0) continue;
      w.z = std::max(w.z, 1e-3);
      const auto hit = k.face_hit(a.world, k.world_direction(a.frame, glm::normalize(w)));
      sum += weight * (hit.kind ? k.patch_light(hit.surface, hit.p).x / pi : k.mean_room_radiance());
      weights += weight;
    }
  }
  return f.albedo * sum / weights;
}

struct Off { std::vector<double> value, change; };

/// Relative error of the sheen, and error of its change over a tilt of 30 mrad as a share of the sheen, at 24 points of
/// wall A from four places.
Off compare(const Stage& stage) {
  const Scene scene = stage.scene();
  auto k = kernels_of(scene);
  Off off;
  for (const dvec3 eye : {dvec3(2, 3, 1.6), dvec3(3.4, 0.5, 1.6), dvec3(0.5, 0.4, 1.6), dvec3(2, 5, 1.2)})
    for (int i = 0; i < 24; ++i) {
      const auto a = k.place_of(0, {0.4 + 5.2 * (i % 6) / 5.0, 0.3 + 2.0 * (i / 6) / 3.0}, eye);
      const auto flat = k.facet_axes(a, dvec2(0)), tilted = k.facet_axes(a, dvec2(0.03, 0));
      const double expected = many_rays(k, a, flat), found = k.room_sheen(a, flat);
      const double expected_change = many_rays(k, a, tilted) - expected, found_change = k.room_sheen(a, tilted) - found;
      off.value.push_back(std::abs(found / expected - 1));
      off.change.push_back(std::abs(found_change - expected_change) / expected);
    }
  std::sort(off.value.begin(), off.value.end());
  std::sort(off.change.begin(), off.change.end());
  return off;
}

double at(const std::vector<double>& sorted, double share) { return sorted[static_cast<std::size_t>(share * double(sorted.size() - 1))]; }

}  // namespace

// Rays followed for several moments at once on a shape read off the table against the kernel that pictures are drawn by, ray by
// ray: the same sums but for their order.
TEST_CASE("rays followed for several moments see what the kernel sees at each") {
  int compared = 0;
  for (const bool convex : {true, false}) {
    const std::vector<dvec2> oblong{{0, 0}, {0, 6}, {4, 6}, {4, 0}}, bent{{0, 0}, {0, 6}, {4, 6}, {4, 3}, {2, 3}, {2, 0}};
    Stage one({}, convex ? oblong : bent), two({}, convex ? oblong : bent);
    for (Stage* stage : {&one, &two}) {
      stage->paint(Stage::named("low-sheen", 0.8));
      const auto& all = patches(*stage->lighting.basis);
      for (std::size_t i = 0; i < all.size(); ++i) stage->lighting.patch_exitance[i] = stage == &one ? 60 + 10 * all[i].centre().y : 20 + 80 * all[i].centre().z;
    }
    REQUIRE(one.room.convex == convex);
    const Scene first = one.scene(), second = two.scene();
    for (std::size_t moments = 1; moments <= 5; ++moments) {
      std::vector<const Scene*> scenes;
      std::vector<const Lighting*> lightings;
      for (std::size_t m = 0; m < moments; ++m) {
        scenes.push_back(m % 2 == 0 ? &first : &second);
        lightings.push_back(m % 2 == 0 ? &one.lighting : &two.lighting);
      }
      const SceneSet set(scenes, lightings);
      auto k = kernels_of(first), other = kernels_of(second);
      // close beside a corner, in the middle, close under the ceiling; eyes in front, along the wall and behind it
      for (const dvec2 p : {dvec2(0.005, 1.2), dvec2(2.5, 1.3), dvec2(4, 2.595)})
        for (const dvec3 eye : {dvec3(1.8, 3, 1.6), dvec3(0.05, 0.4, 1.6), dvec3(1.5, 5, 0.3), dvec3(-1, 3, 1.6)})
          for (const dvec2 slope : {dvec2(0), dvec2(0.03, 0), dvec2(-0.2, 0.1)}) {
            const auto a = k.place_of(0, p, eye);
            const auto facet = k.facet_axes(a, slope);
            std::vector<double> found(moments, -1);
            room_sheens(k, set, a, facet, found.data());
            for (std::size_t m = 0; m < moments; ++m) {
              const double expected = (m % 2 == 0 ? k : other).room_sheen(a, facet);
              CHECK(found[m] == Approx(expected).epsilon(1e-9).margin(1e-12));
              compared += expected > 0;
            }
          }
    }
  }
  CHECK(compared > 500);
}

TEST_CASE("a few rays see the room's sheen as many do") {
  test::Validated found("sheen of the room's own faces by 32 rays a lobe", "4,000 rays, 96 places, two paints; beside a spot ten times as bright",
                        "6 % at 95 of 100, beside the spot 15 %");
  double plain = 0, spot = 0;
  for (const bool bright_spot : {false, true})
    for (const char* name : {"dead-matt", "matt"}) {
      Stage stage;
      stage.paint(Stage::named(name, 0.8));
      const auto& all = patches(*stage.lighting.basis);
      for (std::size_t i = 0; i < all.size(); ++i) {
        const dvec3 c = all[i].centre();
        // a room brighter towards one end, its floor dark; the spot is ten times as bright as the walls
        stage.lighting.patch_exitance[i] = all[i].surface == stage.room.floor() ? 25 : 60 + 10 * c.y;
        if (bright_spot && all[i].surface == 2 && std::abs(c.y - 3) < 0.6 && std::abs(c.z - 1.3) < 0.6) stage.lighting.patch_exitance[i] = 900;
      }
      const Off off = compare(stage);
      INFO(name << (bright_spot ? ", bright spot: " : ": ") << "value p50 " << at(off.value, 0.5) << " p95 " << at(off.value, 0.95) << " max "
                << off.value.back() << ", change p50 " << at(off.change, 0.5) << " p95 " << at(off.change, 0.95) << " max " << off.change.back());
      // what 32 rays a lobe reach; the sheen of the room is some hundredths of a matt wall's luminance, so a twentieth of it
      // is 0.2 % of that. Beside a spot ten times as bright few rays say less.
      (bright_spot ? spot : plain) = std::max(bright_spot ? spot : plain, at(off.value, 0.95));
      CHECK(at(off.value, 0.95) < (bright_spot ? 0.15 : 0.06));
      CHECK(off.value.back() < (bright_spot ? 0.25 : 0.14));
      CHECK(at(off.change, 0.95) < (bright_spot ? 0.07 : 0.015));
      CHECK(off.change.back() < (bright_spot ? 0.09 : 0.02));
    }
  found.says(fmt::format("{:.2g} % and {:.2g} %", 100 * plain, 100 * spot));
}
