// The picture passes, in whatever OpenGL 4.1 core context is current.
#pragma once
#include <string>
#include <vector>

#include "draw/camera.h"
#include "draw/draw.h"
#include "draw/objects.h"
#include "draw/sheen_table.h"
#include "draw/source.h"

namespace rakelight {

class Renderer {
 public:
  /// Compiles all passes. Throws std::runtime_error with the driver's words, file names put in.
  explicit Renderer(const ShaderLoader& load);
  ~Renderer();
  Renderer(const Renderer&) = delete;
  Renderer& operator=(const Renderer&) = delete;

  /// As rakelight::render_both. `by_kernels`: pixels that one face fills are shaded by the kernels alone, without the
  /// table of sheen (for checks of that table).
  Image both(const Scene& scene, const View& view, bool by_kernels = false);
  std::string version() const;  ///< "4.5"
  std::string device() const;

 private:
  /// Throws std::runtime_error when OpenGL reported an error or a message of high severity since the last call.
  void check(const char* during);
  /// Makes a program current, with the uniforms that all passes share.
  void use(const Program& program, const Scene& scene, const Camera& camera);
  /// Four numbers a pixel, from its left to its right and upwards as OpenGL has them: luminance, as if flat, id, cover.
  std::vector<float> draw(const Scene& scene, const View& view, bool by_kernels);
  /// Draws the whole target in tiles, at a depth that the test compares with.
  void cover(const Program& program, int width, int height, float depth = 0) const;
  Texture sheen_of(const Scene& scene, const Camera& camera, const SheenLayout& layout);

  std::string complaints_;      ///< KHR_debug messages of high severity
  VertexArray triangle_;
  AnyPassed any_;
  Program corners_, sheen_nodes_, sheen_fit_, faces_, mixed_, exact_, count_;
};

}  // namespace rakelight
