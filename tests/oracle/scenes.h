// The scenes in which the program is held against the oracle, and how the program is told of them.
#pragma once
#include <string>
#include <vector>

#include "job/job.h"
#include "oracle/tracer.h"
#include "sky/sky.h"

namespace oracle {

/// Part of a face in which points are taken.
struct Patch { int face = 0; dvec2 lo{0}, hi{0}; int weight = 1; };

struct Scene {
  std::string name;
  Plan plan;
  std::vector<Patch> patches;
};

Scene window_beside_wall();
Scene window_in_corner();
Scene low_sun();
Scene lamp_at_wall();
Scene l_shaped_room();
Scene sunlit_reveal();
Scene eaves_fin_and_roofs();
Scene cove_strip();
std::vector<Scene> all_scenes();

/// `count` points over the scene's patches by their weights, at least 50 mm from edges and openings.
std::vector<Spot> spots_of(const Scene& scene, int count, std::uint64_t seed);

/// The same room and moment for the program.
rakelight::Job job_of(const Plan& plan);
rakelight::Moment moment_of(const Plan& plan);

}  // namespace oracle
