// The picture passes, in whatever OpenGL 4.1 core context is current.
#pragma once
#include <string>

#include "draw/camera.h"
#include "draw/draw.h"
#include "draw/objects.h"
#include "draw/source.h"

namespace rakelight {

class Renderer {
 public:
  /// Compiles all passes. Throws std::runtime_error with the driver's words, file names put in.
  explicit Renderer(const ShaderLoader& load);
  ~Renderer();
  Renderer(const Renderer&) = delete;
  Renderer& operator=(const Renderer&) = delete;

  /// As rakelight::render_both. `every_sheen`: no coarse grid for the sheen of flat faces (for checks of that grid).
  Image both(const Scene& scene, const View& view, bool every_sheen = false);
  std::string version() const;  ///< "4.5"
  std::string device() const;

 private:
  /// Throws std::runtime_error when OpenGL reported an error or a message of high severity since the last call.
  void check(const char* during);
  void draw(const Program& program, const Scene& scene, const Camera& camera, const Framebuffer& into, int columns, int rows);

  bool every_sheen_ = false;
  std::string complaints_;      ///< KHR_debug messages of high severity
  VertexArray triangle_;
  Program corners_, sheen_, picture_;
};

}  // namespace rakelight
