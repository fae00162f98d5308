#include "bench/pictures/arithmetic.h"

#include <glad/gl.h>

#include <algorithm>
#include <cstdio>
#include <limits>
#include <stdexcept>
#include <string>

#include "draw/objects.h"

namespace rakelight {
namespace {

const std::string work = R"(
uniform int turns;
vec4 work(vec2 p) {
  vec4 a = vec4(p, 0.3 * p);
  for (int i = 0; i < turns; i++) {
    a = a * 0.999 + a.yzwx * 0.001;
    a = a * 1.0001 + a.zwxy * 0.002;
  }
  return a;
}
)";
const std::string version = "#version 430 core\n";
const std::string vertex = version + R"(
void main() {
  vec2 v = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2);
  gl_Position = vec4(2.0 * v - 1.0, 0.0, 1.0);
}
)";
const std::string fragment = version + "out vec4 result;\n" + work + "void main() { result = work(gl_FragCoord.xy); }\n";
const std::string compute = version + "layout(local_size_x = 8, local_size_y = 8) in;\nlayout(rgba32f, binding = 0) uniform writeonly image2D target;\n" + work +
                            "void main() { ivec2 p = ivec2(gl_GlobalInvocationID.xy); imageStore(target, p, work(vec2(p) + 0.5)); }\n";

}  // namespace

void compare_arithmetic(int width, int height) {
  if (!GLAD_GL_VERSION_4_3) throw std::runtime_error("compute shaders need OpenGL 4.3");
  const Texture target("arithmetic", GL_RGBA32F, width, height);
  const Framebuffer into("arithmetic", target);
  const VertexArray triangle("arithmetic");
  Program drawn("arithmetic", vertex, fragment), computed("arithmetic", compute);
  drawn.finish();
  computed.finish();
  const TimeStamp before("arithmetic"), after("arithmetic");
  triangle.bind();
  into.bind();
  glViewport(0, 0, width, height);
  std::printf("the same arithmetic at every pixel of %d x %d, the device's clock:\n", width, height);
  for (const int turns : {16, 64, 256, 1024}) {
    double least[2] = {std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    for (int again = 0; again < 10; ++again)
      for (int by = 0; by < 2; ++by) {
        const Program& program = by == 0 ? drawn : computed;
        program.use();
        glUniform1i(program.uniform("turns"), turns);
        glFinish();
        before.mark();
        if (by == 0) {
          glDrawArrays(GL_TRIANGLES, 0, 3);
        } else {
          glBindImageTexture(0, target.name(), 0, GL_FALSE, 0, GL_WRITE_ONLY, GL_RGBA32F);
          glDispatchCompute(static_cast<GLuint>((width + 7) / 8), static_cast<GLuint>((height + 7) / 8), 1);
        }
        after.mark();
        glFinish();
        least[by] = std::min(least[by], after.seconds() - before.seconds());
      }
    std::printf("  %4d turns: %8.3f ms as fragments, %8.3f ms computed: %.1f times\n", turns, 1e3 * least[0], 1e3 * least[1], least[0] / least[1]);
  }
}

}  // namespace rakelight
