// All light on a face, point after point: the smooth part from its field grid, lamps and sun exact.
#pragma once
#include <memory>

#include "light/light.h"

namespace rakelight {

class FaceLight {
 public:
  /// The lighting outlives it and has a field grid of the surface (LightDetail::fields).
  FaceLight(const Lighting& lighting, int surface);
  ~FaceLight();
  FaceLight(const FaceLight&) = delete;
  FaceLight& operator=(const FaceLight&) = delete;
  /// Light vector at a point of the face, its frame, lx: within what FieldGrid says of total_light. Points are kept 1 mm off
  /// the face's edges.
  LightVector at(dvec2 p) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace rakelight
