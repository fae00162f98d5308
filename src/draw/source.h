// Shader sources: files with #include "kernels/NAME.glsl" lines, put together for the driver.
#pragma once
#include <functional>
#include <string>
#include <vector>

namespace rakelight {

/// Text of a shader file by its path under shaders/ ("kernels/maths.glsl"); "" when there is none.
using ShaderLoader = std::function<std::string(const std::string& path)>;
/// The files embedded at build time.
ShaderLoader embedded_loader();

/// One shader with its includes in place, each file at most once. Starts with `#version … core` and
/// `#define KERNEL`; `#line` gives every file its own number, an index into `files`.
struct ShaderSource {
  std::string text;
  std::vector<std::string> files;
  /// A driver's message with its file numbers replaced by names: "1:20(3): error" → "kernels/maths.glsl:20(3): error".
  std::string named(const std::string& message) const;
};
/// `version` of the shading language: 410, for compute shaders 430, which have `#define STORAGE` too. `defined`: more to define, lines
/// of `#define`. Throws std::runtime_error when a file is missing.
ShaderSource assemble_shader(const ShaderLoader& load, const std::string& path, int version = 410, const std::string& defined = "");

}  // namespace rakelight
