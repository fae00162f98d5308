// Pictures made beside the window, in an OpenGL context of their own: coarse at once, finer at rest.
#pragma once
#include <array>
#include <condition_variable>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "base/stop.h"
#include "draw/camera.h"
#include "draw/draw.h"
#include "window/work.h"

namespace rakelight {

/// One picture, or two of the same view: of a pair of jobs at one time.
struct PictureOrder {
  std::shared_ptr<const Found> left, right;  ///< with a study; right may be null
  MomentSpec moment;
  std::string moment_key;                    ///< the same for the same moment
  View view;                                 ///< at full size, pixels
  std::string place;                         ///< where it is seen from, for people
  bool moving = false;                       ///< coarse only
  bool figure = false;                       ///< somebody stands in it, for scale
  int judged = -1;                           ///< the surface that nobody may hide
  /// The same for orders that are drawn alike but for View::amplify and the figure.
  std::string drawn_key() const;
};

struct Pictures {
  std::string key;                           ///< of the order
  View view;                                 ///< at full size
  Camera camera;                             ///< for pixels of the full size
  std::shared_ptr<const Image> left, right;  ///< 8-bit values
  std::shared_ptr<const Scene> scene;        ///< of the left
  std::string moment_text, place;
  double white = 1;                          ///< cd/m² shown as white, one for both
  int coarseness = 1;                        ///< of its pixels against the full size's
  bool draft = false;
  bool figure_asked = false, figure = false; ///< figure: and there is a place for it
  std::string trouble;
  long number = 0;                           ///< counts up
};

class PictureMaker {
 public:
  /// `use_context` makes an OpenGL context current on the maker's thread, whose functions are loaded, or with false none.
  /// `ready` is called from that thread for every new picture.
  PictureMaker(std::function<void(bool)> use_context, std::function<void()> ready);
  ~PictureMaker();
  PictureMaker(const PictureMaker&) = delete;
  PictureMaker& operator=(const PictureMaker&) = delete;

  void order(const PictureOrder& order);
  std::shared_ptr<const Pictures> latest() const;
  bool idle() const;
  /// How many of the shaders are compiled, of how many; {0, 0} before and after.
  struct Preparing { int done = 0, all = 0; };
  Preparing preparing() const;

 private:
  struct Lit { std::string key; std::shared_ptr<const Scene> scene; std::string moment_text, trouble; };

  void run();
  void draw(class Renderer& renderer, const PictureOrder& order);
  /// Where somebody stands in the picture drawn last: one place for a view, however its light changes.
  std::optional<dvec2> stand_figure(const PictureOrder& order, const View& drawn_view);
  const Lit& lit(std::size_t half, const std::shared_ptr<const Found>& found, const PictureOrder& order);
  void publish(Pictures pictures);
  void prepared(Preparing now);
  bool outdated(const PictureOrder& order) const;

  std::function<void(bool)> use_context_;
  std::function<void()> ready_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool over_ = false, busy_ = false;
  std::optional<PictureOrder> next_;
  std::shared_ptr<const Pictures> latest_;
  std::shared_ptr<Stop> stop_;
  long number_ = 0;
  Preparing preparing_;
  // touched by the maker's thread alone
  std::array<Lit, 2> lit_;
  std::string drawn_key_;
  std::array<std::shared_ptr<const Image>, 2> drawn_;
  double drawn_white_ = 1;
  std::string figure_key_;             ///< of the view that the figure's place is for
  std::optional<dvec2> figure_;
  std::thread thread_;
};

/// A moment in words for a caption: its name, its time, sky and sun.
std::string moment_text(const Moment& moment);

}  // namespace rakelight
