#include "window/pictures.h"

#include <algorithm>
#include <fmt/format.h>

#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "draw/renderer.h"
#include "draw/room_details.h"
#include "draw/source.h"
#include "window/words.h"

namespace rakelight {
namespace {

View coarser(View view, int times) {
  view.width = std::max(1, (view.width + times - 1) / times);
  view.height = std::max(1, (view.height + times - 1) / times);
  return view;
}

Image shown(const Image& both, const View& view, double white) { return display(luminance_of(both, view), white); }

}  // namespace

std::string moment_text(const Moment& moment) {
  std::string text = moment.name;
  if (!moment.at_text.empty() && moment.at_text != moment.name) text += (text.empty() ? "" : " · ") + moment.at_text.substr(0, 16);
  if (const auto t = text.find('T'); t != std::string::npos && t > 0 && text[t - 1] >= '0' && text[t - 1] <= '9') text[t] = ' ';
  text += " · " + (moment.sky.dark ? say("lamps only") : say("{} sky", sky_words(moment.sky_text)));
  if (moment.sky.sun_up) text += " · " + say("sun {}° high", fixed_text(moment.sky.sun.apparent_altitude * deg_per_rad, 1));
  return text;
}

std::string PictureOrder::drawn_key() const {
  std::string key = fmt::format("{} {} {}{}|{}{}|{}|{}|", language(), left->generation, left->draft, left->text, right && right->draft, right ? right->text : "", moving, moment_key);
  for (const double v : {view.eye.x, view.eye.y, view.eye.z, view.target.x, view.target.y, view.target.z, view.field_of_view, view.region.lo.x, view.region.lo.y, view.region.hi.x, view.region.hi.y})
    key += number_text(v) + " ";
  return key + fmt::format("{} {} {} {} {}", static_cast<int>(view.kind), view.surface, view.width, view.height, view.stipple);
}

PictureMaker::PictureMaker(std::function<void(bool)> use_context, std::function<void()> ready)
    : use_context_(std::move(use_context)), ready_(std::move(ready)), thread_([this] { run(); }) {}

PictureMaker::~PictureMaker() {
  {
    const std::lock_guard lock(mutex_);
    over_ = true;
    if (stop_) stop_->request();
  }
  wake_.notify_all();
  thread_.join();
}

void PictureMaker::order(const PictureOrder& order) {
  {
    const std::lock_guard lock(mutex_);
    next_ = order;
    if (stop_ && !order.moving) stop_->request();
  }
  wake_.notify_all();
}

std::shared_ptr<const Pictures> PictureMaker::latest() const {
  const std::lock_guard lock(mutex_);
  return latest_;
}

bool PictureMaker::idle() const {
  const std::lock_guard lock(mutex_);
  return !busy_ && !next_;
}

PictureMaker::Preparing PictureMaker::preparing() const {
  const std::lock_guard lock(mutex_);
  return preparing_;
}

void PictureMaker::prepared(Preparing now) {
  {
    const std::lock_guard lock(mutex_);
    preparing_ = now;
  }
  ready_();
}

bool PictureMaker::outdated(const PictureOrder&) const {
  const std::lock_guard lock(mutex_);
  return over_ || next_.has_value();
}

void PictureMaker::publish(Pictures pictures) {
  {
    const std::lock_guard lock(mutex_);
    pictures.number = ++number_;
    latest_ = std::make_shared<const Pictures>(std::move(pictures));
  }
  ready_();
}

void PictureMaker::run() {
  std::unique_ptr<Renderer> renderer;
  std::string lost;
  try {
    use_context_(true);
    renderer = std::make_unique<Renderer>(embedded_loader(), [this](int done, int all) { prepared({done, all}); });
  } catch (const std::exception& error) {
    lost = error.what();
  }
  prepared({});
  std::unique_lock lock(mutex_);
  while (true) {
    busy_ = false;
    wake_.wait(lock, [&] { return over_ || next_; });
    if (over_) break;
    const PictureOrder order = *next_;
    next_.reset();
    busy_ = true;
    const auto stop = std::make_shared<Stop>();
    stop_ = stop;
    lock.unlock();
    try {
      if (!renderer) throw std::runtime_error(lost);
      const StopScope scope(stop.get());
      draw(*renderer, order);
    } catch (const Stopped&) {
      // something else is wanted by now
    } catch (const std::exception& error) {
      Pictures none;
      none.key = order.drawn_key();
      none.view = order.view;
      none.trouble = error.what();
      publish(std::move(none));
    }
    lock.lock();
    stop_ = nullptr;
    busy_ = next_.has_value();
    lock.unlock();
    ready_();
    lock.lock();
  }
  lock.unlock();
  renderer.reset();
  use_context_(false);  // whoever destroys the context may not find it in use here
}

const PictureMaker::Lit& PictureMaker::lit(std::size_t half, const std::shared_ptr<const Found>& found, const PictureOrder& order) {
  Lit& l = lit_[half];
  const std::string key = fmt::format("{} {} {}{}|{}", language(), found->generation, found->draft, found->text, order.moment_key);
  if (l.key == key) return l;
  l = {};
  const Study& study = *found->study;
  Diagnostics diagnostics;
  const std::optional<Moment> moment = make_moment(study.job, order.moment, diagnostics, study.climate ? &*study.climate : nullptr);
  if (!moment || !diagnostics.ok()) {
    l.trouble = say("there is no such time here");
    for (const Diagnostic& d : diagnostics.all()) l.trouble = d.wrong + (d.right.empty() ? "" : ": " + d.right);
    return l;
  }
  const Lighting lighting = make_lighting(study.job, study.room, found->fields, *moment);
  l.scene = std::make_shared<const Scene>(make_scene(study.room, lighting, make_reliefs(study), study.paints));
  l.moment_text = moment_text(*moment);
  l.key = key;
  return l;
}

std::optional<dvec2> PictureMaker::stand_figure(const PictureOrder& order, const View& drawn_view) {
  std::string key = fmt::format("{}|", order.judged);
  for (const dvec2 corner : order.left->study->room.plan) key += number_text(corner.x) + " " + number_text(corner.y) + " ";
  for (const double v : {order.view.eye.x, order.view.eye.y, order.view.eye.z, order.view.target.x, order.view.target.y, order.view.target.z, order.view.field_of_view,
                         static_cast<double>(order.view.width) / order.view.height})
    key += number_text(v) + " ";
  // who stands there does not move with the light, nor when the picture gets finer
  if (key != figure_key_) {
    figure_ = figure_place(*drawn_[0], camera_of(*lit_[0].scene, drawn_view), order.left->study->room, order.judged);
    figure_key_ = key;
  }
  return figure_;
}

void PictureMaker::draw(Renderer& renderer, const PictureOrder& order) {
  Pictures out;
  out.key = order.drawn_key();
  out.view = order.view;
  out.place = order.place;
  const auto halves = [&](auto&& use) {
    use(std::size_t{0}, order.left);
    if (order.right) use(std::size_t{1}, order.right);
  };
  halves([&](std::size_t half, const std::shared_ptr<const Found>& found) {
    const Lit& l = lit(half, found, order);
    if (!l.trouble.empty()) throw std::runtime_error(l.trouble);
  });
  out.scene = lit_[0].scene;
  out.moment_text = lit_[0].moment_text;
  out.camera = camera_of(*lit_[0].scene, order.view);
  const auto show = [&](int coarseness, bool draft) {
    out.coarseness = coarseness;
    out.draft = draft;
    out.white = drawn_white_;
    out.figure_asked = order.figure;
    const View drawn_view = coarser(order.view, coarseness);
    const std::optional<dvec2> place = order.figure ? stand_figure(order, drawn_view) : std::nullopt;
    out.figure = place.has_value();
    const auto half = [&](std::size_t i) {
      if (!place) return std::make_shared<const Image>(shown(*drawn_[i], order.view, drawn_white_));
      Image both = *drawn_[i];
      draw_figure(both, camera_of(*lit_[i].scene, drawn_view), *place);
      return std::make_shared<const Image>(shown(both, order.view, drawn_white_));
    };
    out.left = half(0);
    out.right = order.right ? half(1) : nullptr;
    publish(out);
  };
  if (drawn_key_ == out.key && !order.moving) return show(1, false);
  drawn_key_.clear();
  bool exposed = false;
  for (const int times : {8, 4, 2, 1}) {
    if (times == 8 && number_ > 0) continue;  // the first picture of all: anything is better than none
    View view = coarser(order.view, times);
    view.draft = times > 1;
    std::array<std::shared_ptr<Image>, 2> both;
    bool late = false;
    halves([&](std::size_t half, const std::shared_ptr<const Found>&) {
      if (late) return;
      both[half] = std::make_shared<Image>(renderer.both(*lit_[half].scene, view));
      late = outdated(order) && !order.moving;
    });
    if (late) return;
    if (!exposed) {
      drawn_white_ = exposure_of(*lit_[0].scene, *both[0]);
      if (both[1]) drawn_white_ = std::max(drawn_white_, exposure_of(*lit_[1].scene, *both[1]));
      exposed = times < 8;  // what all later pictures of the view start from is shown as they are
    }
    halves([&](std::size_t half, const std::shared_ptr<const Found>& found) {
      draw_fittings(*both[half], camera_of(*lit_[half].scene, view), found->study->job, found->study->room);
      drawn_[half] = both[half];
    });
    if (!order.right) drawn_[1] = nullptr;
    if (times == 1) drawn_key_ = out.key;
    show(times, view.draft);
    if (order.moving || (times > 1 && outdated(order))) return;
  }
}

}  // namespace rakelight
