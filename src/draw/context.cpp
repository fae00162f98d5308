// A headless OpenGL context through EGL: the device platform (EGL_EXT_platform_device) first, then Mesa's
// surfaceless one. No display server is needed, and no surface is made: pictures go into textures.
#include <EGL/egl.h>
#include <EGL/eglext.h>
#include <glad/gl.h>

#include <cstring>
#include <stdexcept>

#include "draw/draw.h"
#include "draw/renderer.h"

namespace rakelight {
namespace {

bool has(const char* extensions, const char* name) {
  if (extensions == nullptr) return false;
  const std::string all = std::string(" ") + extensions + " ";
  return all.find(std::string(" ") + name + " ") != std::string::npos;
}

template <class F>
F entry(const char* name) {
  return reinterpret_cast<F>(eglGetProcAddress(name));
}

std::string egl_reason() {
  switch (eglGetError()) {
    case EGL_SUCCESS: return "no reason given";
    case EGL_NOT_INITIALIZED: return "not initialised";
    case EGL_BAD_ACCESS: return "access refused";
    case EGL_BAD_ALLOC: return "out of memory";
    case EGL_BAD_MATCH: return "no match";
    case EGL_BAD_CONFIG: return "bad configuration";
    case EGL_BAD_ATTRIBUTE: return "an attribute is not known";
    case EGL_BAD_PARAMETER: return "bad parameter";
    default: return "EGL error";
  }
}

/// A display and a context that is current on it, or neither.
struct Egl {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLContext context = EGL_NO_CONTEXT;
  std::string how;

  Egl() = default;
  Egl(const Egl&) = delete;
  Egl& operator=(const Egl&) = delete;
  ~Egl() { close(); }

  void close() {
    if (display == EGL_NO_DISPLAY) return;
    eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    if (context != EGL_NO_CONTEXT) eglDestroyContext(display, context);
    // the display stays initialised: EGL shares it with whoever else in this process opened it
    context = EGL_NO_CONTEXT;
    display = EGL_NO_DISPLAY;
  }

  bool make_current() const { return eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, context) == EGL_TRUE; }

  /// Tries to end with a current OpenGL 4.1 core context on `candidate`; appends why not to `tried`.
  bool open(EGLDisplay candidate, const std::string& name, std::string& tried) {
    auto fail = [&](const std::string& what) {
      tried += "\n  " + name + ": " + what;
      close();
      return false;
    };
    if (candidate == EGL_NO_DISPLAY) return fail("no display (" + egl_reason() + ")");
    EGLint major = 0, minor = 0;
    if (!eglInitialize(candidate, &major, &minor)) return fail("cannot be initialised (" + egl_reason() + ")");
    display = candidate;
    const char* extensions = eglQueryString(display, EGL_EXTENSIONS);
    if (!has(extensions, "EGL_KHR_surfaceless_context")) return fail("cannot draw without a surface");
    if (!eglBindAPI(EGL_OPENGL_API)) return fail("has no OpenGL (" + egl_reason() + ")");
    EGLConfig config = EGL_NO_CONFIG_KHR;
    if (!has(extensions, "EGL_KHR_no_config_context")) {
      const EGLint wanted[] = {EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_SURFACE_TYPE, EGL_DONT_CARE, EGL_NONE};
      EGLint count = 0;
      if (!eglChooseConfig(display, wanted, &config, 1, &count) || count == 0) return fail("has no OpenGL configuration");
    }
    for (const EGLint newest : {3, 1}) {  // some drivers give no more than is asked for; compute shaders need 4.3
      const EGLint attributes[] = {EGL_CONTEXT_MAJOR_VERSION, 4, EGL_CONTEXT_MINOR_VERSION, newest,
                                   EGL_CONTEXT_OPENGL_PROFILE_MASK, EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT,
                                   EGL_CONTEXT_OPENGL_DEBUG, EGL_TRUE, EGL_NONE};
      context = eglCreateContext(display, config, EGL_NO_CONTEXT, attributes);
      if (context != EGL_NO_CONTEXT) break;
    }
    if (context == EGL_NO_CONTEXT) return fail("no OpenGL 4.1 core context (" + egl_reason() + ")");
    if (!make_current()) return fail("the context cannot be made current (" + egl_reason() + ")");
    if (gladLoadGL(reinterpret_cast<GLADloadfunc>(eglGetProcAddress)) < GLAD_MAKE_VERSION(4, 1))
      return fail("its OpenGL is older than 4.1");
    how = name;
    return true;
  }
};

/// Opens the first of what there is. Throws with the list when nothing works.
void open_any(Egl& egl) {
  std::string tried;
  const char* client = eglQueryString(EGL_NO_DISPLAY, EGL_EXTENSIONS);
  if (client == nullptr) throw std::runtime_error("no OpenGL: EGL has no client extensions, so it cannot run without a display");
  auto platform_display = entry<PFNEGLGETPLATFORMDISPLAYEXTPROC>("eglGetPlatformDisplayEXT");
  auto query_devices = entry<PFNEGLQUERYDEVICESEXTPROC>("eglQueryDevicesEXT");
  if (platform_display != nullptr && query_devices != nullptr && has(client, "EGL_EXT_platform_device")) {
    EGLDeviceEXT devices[16] = {};
    EGLint count = 0;
    if (!query_devices(16, devices, &count)) count = 0;
    if (count == 0) tried += "\n  EGL device platform: no device";
    for (EGLint i = 0; i < count; ++i)
      if (egl.open(platform_display(EGL_PLATFORM_DEVICE_EXT, devices[i], nullptr), "EGL device " + std::to_string(i), tried)) return;
  } else {
    tried += "\n  EGL device platform: not supported (EGL_EXT_platform_device)";
  }
  if (platform_display != nullptr && has(client, "EGL_MESA_platform_surfaceless")) {
    if (egl.open(platform_display(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr), "EGL surfaceless platform", tried)) return;
  } else {
    tried += "\n  EGL surfaceless platform: not supported (EGL_MESA_platform_surfaceless)";
  }
  throw std::runtime_error("no OpenGL 4.1 core; tried:" + tried);
}

}  // namespace

struct Headless::State {
  Egl egl;
  std::unique_ptr<Renderer> renderer;   // after egl: its objects go while the context is still there

  State() {
    open_any(egl);
    renderer = std::make_unique<Renderer>(embedded_loader());
  }
  ~State() { egl.make_current(); }
};

Headless::Headless() : state_(std::make_unique<State>()) {}
Headless::~Headless() = default;

std::string Headless::description() const {
  return "OpenGL " + state_->renderer->version() + " core, renderer " + state_->renderer->device() + " (" + state_->egl.how + ")";
}

Renderer& Headless::renderer() {
  if (!state_->egl.make_current()) throw std::runtime_error("the OpenGL context was lost");
  return *state_->renderer;
}

}  // namespace rakelight
