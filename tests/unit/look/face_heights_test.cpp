// Heights read off a lone film's section against the kernels', which fold every film near by.
#include <catch2/catch.hpp>

#include "base/random.h"
#include "look/face_heights.h"
#include "unit/look/stage.h"

using namespace rakelight;
using rakelight::testing::Stage;

TEST_CASE("heights and shadows of a face are the kernels', among crossing joints, their ends and spots") {
  Stage stage;
  Relief& relief = stage.reliefs[0];
  // two that cross, one of them a hollow, and a row of spots beside them
  relief.joints.push_back(rakelight::testing::raised_cosine(0, {0.3, 1.2}, {5.5, 1.2}, 1.5e-3, 0.15));
  relief.joints.push_back(rakelight::testing::raised_cosine(0, {2.5, 0.2}, {2.5, 2.4}, -0.8e-3, 0.25));
  PlacedJoint spots = rakelight::testing::shaped_joint(0, {3.5, 0.2}, {3.5, 2.4}, 0.03, 0.5e-3, [](double u) {
    return rakelight::testing::HeightAndSlope{0.4e-3 * (1 - u * u / 9e-4), -0.8e-3 * u / 9e-4};
  });
  // a spot's section runs from its middle outwards
  const auto outwards = [](const SharedList<double>& all) { return std::vector<double>(all.begin() + 60, all.end()); };
  spots.section.height = outwards(spots.section.height);
  spots.section.slope = outwards(spots.section.slope);
  spots.section.first = spots.section.left = 0;
  spots.line.kind = JointKind::fixings;
  spots.line.spots = {0.2, 0.6, 1.0, 1.4, 1.8};
  relief.joints.push_back(spots);
  const Scene scene = stage.scene();
  kernel::SceneKernels k = kernels_of(scene);
  FaceHeights heights(k, 0);
  Random random(3);
  int on_film = 0, crossed = 0, part_hidden = 0;
  double height_off = 0, share_off = 0;
  for (int i = 0; i < 20000; ++i) {
    // most of them about the joints
    dvec2 p(random.uniform(0.05, 5.95), random.uniform(0.05, 2.55));
    if (i % 4 == 1) p.y = random.uniform(1.0, 1.4);
    if (i % 4 == 2) p.x = random.uniform(2.2, 2.8);
    if (i % 4 == 3) p = {random.uniform(3.45, 3.55), random.uniform(0.3, 2.1)};
    const double h = k.scene_height(0, p);
    on_film += h != 0;
    crossed += std::abs(p.x - 2.5) < 0.2 && std::abs(p.y - 1.2) < 0.1;
    height_off = std::max(height_off, std::abs(heights.at(p) - h));
    // from level to where nothing is hidden
    const auto place = k.place_of(0, p, {2, 3, 1.6});
    const double turn = random.uniform(0, 2 * pi), elevation = random.uniform(0, 0.03);
    const dvec3 light(std::cos(elevation) * std::cos(turn), std::cos(elevation) * std::sin(turn), std::sin(elevation));
    const double share = k.unhidden(place, light, h, kernel::sun_radius());
    part_hidden += share > 0 && share < 1;
    share_off = std::max(share_off, std::abs(heights.unhidden(place, light, h, kernel::sun_radius()) - share));
  }
  CHECK(on_film > 6000);
  CHECK(crossed > 100);
  CHECK(part_hidden > 500);
  // the same sums in the same order but for a lone film's ends
  CHECK(height_off < 1e-17);
  // near the lower limb's tangent, which is taken a little low, the disc's share rises as the power of 1.5
  CHECK(share_off < 1e-6);
}
