// The picture passes, in whatever OpenGL 4.1 core context is current.
#pragma once
#include <array>
#include <chrono>
#include <ctime>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "draw/camera.h"
#include "draw/draw.h"
#include "draw/objects.h"
#include "draw/sheen_table.h"
#include "draw/source.h"

namespace rakelight {

/// A step of drawing a picture, s: how long until it was done or asked for, how much time of all processors' the program spent
/// meanwhile, and how long the device took by its own clock (0 unless that was asked for).
struct StepTime { std::string step; double seconds = 0, processor = 0, device = 0; };

class Renderer {
 public:
  /// Compiles the passes: as compute shaders where a graphics card has OpenGL 4.3, else as fragment shaders. Throws std::runtime_error with the driver's words, file names put in.
  /// `ready`, if given, is told after each how many of how many are compiled: a card's driver takes its time the first time.
  explicit Renderer(const ShaderLoader& load, std::function<void(int done, int all)> ready = {});
  ~Renderer();
  Renderer(const Renderer&) = delete;
  Renderer& operator=(const Renderer&) = delete;

  /// As rakelight::render_both. `by_kernels`: pixels that one face fills are shaded by the kernels alone, without the
  /// table of sheen (for checks of that table).
  Image both(const Scene& scene, const View& view, bool by_kernels = false);
  /// Draws as `both` does and leaves the picture in OpenGL's hands, which need not have finished it; as it looks on paper, or
  /// where compound lies.
  void draw(const Scene& scene, const View& view, bool by_kernels = false, bool over_compound = false);
  /// Whether the driver has OpenGL 4.3, which compute shaders need.
  static bool can_compute();
  /// Draws by compute shaders from now on, or by fragment shaders: the same picture. The first time compiles them.
  /// Throws std::runtime_error when the driver has none or refuses them.
  void draw_by_compute(bool yes);
  bool by_compute() const { return by_compute_; }
  /// Draws by shaders made for what each scene lacks (draw/scene_lacks.h), compiled when a scene first wants them; else by shaders that
  /// draw any scene. A software rasteriser starts with the former, a card, whose compiler is slow and whose choices are cheap, with the latter.
  void fit_to_scenes(bool yes) { fits_ = yes; }
  /// Until the next call with null, adds each step's time to a list. With `StepClock::device` steps follow one another as they do
  /// otherwise and the device's clock is read when the picture is done (a software rasteriser's means nothing); else every step is
  /// waited for, so the sum is a little more than the picture takes otherwise.
  enum class StepClock { wall, device };
  void time_steps(std::vector<StepTime>* into, StepClock clock = StepClock::wall) {
    step_times_ = into;
    step_clock_ = clock;
  }
  /// Pixels of the last picture that were drawn a second time: where the relief may hide part of a source, and those of which all is by
  /// the kernels: asked for, or of fragments where a source may be hidden and the table of sheen does not hold.
  GLuint drawn_for_hidden() const { return drawn_for_hidden_; }
  GLuint drawn_by_kernels() const { return drawn_by_kernels_; }
  /// Those whose sheen was made anew, where the table holds for what tilting adds, but not for the flat face.
  GLuint drawn_for_flats() const { return drawn_for_flats_; }
  /// And where it does not hold for what tilting adds.
  GLuint drawn_for_tilts() const { return drawn_for_tilts_; }
  std::string version() const;  ///< "4.5"
  std::string device() const;

 private:
  /// Throws std::runtime_error when OpenGL reported an error or a message of high severity since the last call.
  void check(const char* during);
  /// Where pictures are drawn; as large as the largest so far.
  struct Targets {
    Texture ids, picture;
    DepthBuffer marks;
    Framebuffer into_ids, into_picture;
  };
  struct SheenTargets {
    Texture wanted, places, grids, values, fit;
    Framebuffer into_values, into_fit;
  };

  /// The passes, as fragment or as compute shaders: those that draw drafts as they draw other pictures, and those that may be made for
  /// drafts alone.
  struct CommonPasses { Program corners, sheen_nodes, sheen_fit, flats, count; };
  struct TabledPasses { Program faces, mixed, hidden; };
  /// The pixels that the faces' pass leaves to the others when computing.
  struct Lists {
    StorageBuffer left, counts, counts_read;    ///< lists of pixels, their lengths, and those for this side to read: a driver
                                                ///< moves a buffer that is read to where a card's writing is slow
    StorageBuffer grids, wanted, values, fit;   ///< of the table of sheen
    bool made = false;
  };
  /// A scene's table as it was handed to OpenGL last, as it looks on paper or where compound lies.
  struct Table {
    RowBuffer buffer;
    std::vector<dvec4> rows;
    std::string lacks;
    SheenPlanner planner;
  };
  struct Pass {
    Program& program;
    std::string name;      ///< passes/NAME.glsl
    std::string defined;
    ShaderSource source = {};
  };
  /// All together, since drivers may compile them side by side.
  void compile(std::vector<Pass> passes);
  /// Makes the passes current that draw such pictures, with stipple or without, of scenes which lack this, compiled if they were not.
  /// `kernels`: also the pass that asks the table for nothing, a large program.
  void take_passes(const std::string& lacks, bool draft, bool stipple, bool kernels);

  void draw_pixels(const Scene& scene, const Camera& camera, const View& view, const SheenLayout& layout, bool by_kernels, bool over_compound, bool draft);
  void compute_corners(const std::vector<dvec4>& rows, const Camera& camera, const View& view);
  void compute_sheen(const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft);
  void compute_pixels(const Scene& scene, const Camera& camera, const View& view, const SheenLayout& layout, bool by_kernels, bool over_compound, bool draft);
  /// Uniforms of the passes that shade pixels.
  void use_table(const Program& program, const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft);
  /// Uniforms of the passes that fit the table of sheen.
  void use_fit(const Program& program, int degree, bool draft);
  /// Makes a program current, with the uniforms that all passes share.
  void use(const Program& program, const std::vector<dvec4>& rows, const Camera& camera);
  /// Draws the whole target in tiles, at a depth that the test compares with.
  void cover(const Program& program, int width, int height, float depth = 0) const;
  void make_room(int width, int height);
  /// Of the room's rays in the table of sheen, how many make do with one.
  static int each_ray(bool draft) { return draft ? 2 : 1; }
  void draw_sheen(const std::vector<dvec4>& rows, const Camera& camera, const SheenLayout& layout, bool draft);
  /// What was drawn last. Four numbers a pixel, from its left to its right and upwards as OpenGL has them: luminance, as if
  /// flat, id, cover.
  std::vector<float> read(int width, int height);
  void begin_steps();
  void step_done(const char* step);
  void end_steps();

  std::string complaints_;      ///< KHR_debug messages of high severity
  std::vector<StepTime>* step_times_ = nullptr;
  StepClock step_clock_ = StepClock::wall;
  std::vector<TimeStamp> step_stamps_;   ///< of the beginning and after each step
  std::size_t steps_stamped_ = 0;
  std::chrono::steady_clock::time_point step_began_;
  std::clock_t step_processor_ = 0;
  VertexArray triangle_;
  PassedCount left_;
  GLuint drawn_for_hidden_ = 0, drawn_for_tilts_ = 0, drawn_by_kernels_ = 0, drawn_for_flats_ = 0;
  ShaderLoader load_;
  std::function<void(int, int)> ready_;
  /// By whether they compute and what was defined for them.
  std::map<std::string, std::unique_ptr<CommonPasses>> common_sets_;
  std::map<std::string, std::unique_ptr<TabledPasses>> tabled_sets_;
  std::map<std::string, std::unique_ptr<Program>> tilts_sets_, exact_sets_;   ///< where the table does not hold for tilted facets; by the kernels alone
  CommonPasses* common_ = nullptr;   ///< those in use
  TabledPasses* tabled_ = nullptr;
  Program* tilts_ = nullptr;
  Program* exact_ = nullptr;         ///< none where it was not asked for
  Lists lists_;
  bool by_compute_ = false, fits_ = false;
  std::array<Table, 2> tables_;
  Targets targets_;
  SheenTargets sheen_;
};

}  // namespace rakelight
