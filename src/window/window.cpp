// What the window owns, and what it does with it in a frame. Over 500 lines: every part of a frame touches the same state.
#include "window/window.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <limits>

#include "base/long_work.h"
#include "draw/screen.h"
#include "embedded_assets.h"
#include "report/report.h"
#include "window/display.h"
#include "window/errand.h"
#include "window/file_watch.h"
#include "window/keeper.h"
#include "window/printer.h"
#include "window/recent.h"
#include "window/taken.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr double text_size = 15;               // pixels of an em at scale 1
constexpr double least_wide = 64, least_high = 40;  // em
constexpr double play_every = 0.25;            // s between steps of five minutes
constexpr double blink = 0.5;                  // s between frames while a field is typed in

std::string not_saved() { return say("not saved: Ctrl S saves; the same again leaves it"); }

std::string read_file(const std::string& path) {
  std::optional<std::string> text = read_bytes(path);
  if (!text) throw NoJob(say("cannot read {}: {}", path, errno == EISDIR ? say("it is no file") : std::string(std::strerror(errno))));
  return *std::move(text);
}

}  // namespace

struct AppWindow::State {
  explicit State(const WindowOptions& options)
      : state_folder(options.state_folder), picture_pixel(std::max(options.picture_pixel, 1)), main(options.width, options.height, "Rakelight", options.visible), side(16, 16, "Rakelight pictures", false),
        model(options.job.empty() ? std::string(embedded_assets("demo/home.toml")) : read_file(options.job), options.job), keeper(options.state_folder) {
    choose_language(options.language);
    glfwMakeContextCurrent(main.window);
    try {
      load_opengl(reinterpret_cast<OpenGlAddress (*)(const char*)>(glfwGetProcAddress));
    } catch (const std::runtime_error& error) {
      throw NoWindow(say("the window needs OpenGL 4.1 core: {}.", error.what()) + "\n" + say("Without it: {}", "rakelight assess JOB"));
    }
    log = std::make_unique<ScreenLog>();
    gui = std::make_unique<Gui>();
    const auto wake = [] { glfwPostEmptyEvent(); };
    work = std::make_unique<Work>(wake);
    watch = std::make_unique<FileWatch>(wake);
    printer = std::make_unique<PaperPrinter>(wake);
    errand = std::make_unique<Errand>(wake);
    maker = std::make_unique<PictureMaker>([window = side.window](bool use) { glfwMakeContextCurrent(use ? window : nullptr); }, wake);
    keeper.take_up(model);
    watch->follow(model.path);
    desk.recent = read_recent(state_folder);
    if (!options.job.empty()) remember_recent(state_folder, options.job, desk.recent);
  }
  ~State() {
    errand.reset();
    watch.reset();
    printer.reset();
    maker.reset();
    work.reset();
    glfwMakeContextCurrent(main.window);
    left = {};
    right = {};
    gui.reset();
    log.reset();
  }

  /// Whether what is about to be left is saved; if not, only when the same is asked again under the warning.
  bool may_leave(const std::string& how) {
    if (!model.changed() || (model.notice == not_saved() && leaving == how)) return true;
    leaving = how;
    model.notice = not_saved();
    return false;
  }
  void close() {
    if (may_leave("close")) {
      model.quit = true;
      keeper.give_up();
    }
    else glfwSetWindowShouldClose(main.window, GLFW_FALSE);
  }
  void take_up(Model other) {
    keeper.give_up();
    model = std::move(other);
    keeper.take_up(model);
    watch->follow(model.path);
    ++generation;
    forget();
  }
  void open(const std::string& path) {
    try {
      std::string text = read_file(path);
      if (!may_leave("open " + path)) return;
      take_up(Model(std::move(text), path));
      remember_recent(state_folder, path, desk.recent);
    } catch (const std::exception& error) {
      model.notice = error.what();
    }
  }
  void save() {
    if (!model.path.empty()) return save(model.path);
    desk.naming = true;
    if (desk.name_for_saving.empty()) desk.name_for_saving = "my-room.toml";
  }
  void save(const std::string& path) {
    const auto folder = [](const std::string& file) { return std::filesystem::path(file).parent_path(); };
    const auto before = folder(model.path);
    if (!keeper.save(model, path)) return;
    if (folder(path) != before) ++generation;  // what the job names is looked for elsewhere now
    desk.naming = false;
    watch->follow(path);
    remember_recent(state_folder, path, desk.recent);
  }
  void save_picture() {
    if (!pictures || !pictures->left || !now.left || !now.left->study) {
      model.notice = say("there is no picture yet");
      return;
    }
    if (!shown_as_wanted()) {
      model.notice = say("the picture is still being drawn: try again in a moment");
      return;
    }
    const std::string stem = model.path.empty() ? "rakelight" : std::filesystem::path(model.path).replace_extension().string();
    std::string path;
    for (int i = 1; path.empty() || std::filesystem::exists(path); ++i) path = fmt::format("{}-{}{}.png", stem, pictures->right ? "pair-" : "picture-", i);
    const std::vector<std::string> caption = caption_lines(*now.left->study, *pictures);
    std::vector<std::string> headings;
    if (pictures->right && now.right) {
      const auto heading = [&](const Found& found, const HereFound* here) {
        const auto words = chip_words(found, here, model.surface);
        return !words ? std::string() : words->what + " · " + words->shows;
      };
      headings = {heading(*now.left, now.left_here.get()), heading(*now.right, now.right_here.get())};
    }
    send([this, path, caption, headings, left_image = pictures->left, right_image = pictures->right]() -> Errand::Then {
      const Image image = headings.empty() ? *left_image : side_by_side({*left_image, *right_image}, headings);
      write_file(path, png_bytes(with_caption(image, caption)));
      return [this, path] { model.notice = say("{} written", path); };
    }, say("writing the picture …"));
  }
  /// Does work beside the window; what is left of it is done in a later frame.
  void send(std::function<Errand::Then()> what, const std::string& meanwhile) {
    const bool begun = errand->run(std::move(what), [this](const std::string& why) { model.notice = why; });
    model.notice = begun ? meanwhile : say("one moment: the last thing is not done yet");
  }
  /// Judges a measured joint beside the window; its figures are taken if the job is still the same then.
  void measure(MeasureOrder order) {
    send([this, order = std::move(order)]() -> Errand::Then {
      return [this, text = order.text, joint = order.joint.line.id, answer = measure_answer(order)] {
        if (text != model.history.now().text) {
          model.notice = say("the job was changed meanwhile: judge it again");
          return;
        }
        if (!answer.reasons.empty()) desk.measured_joint = joint, desk.measured_said = answer.reasons;
        if (answer.edits.empty() || model.edit(answer.edits)) model.notice = answer.notice;
      };
    }, say("judging what was measured …"));
  }
  /// A file dropped on the window: a distribution waits for its lamp, anything else is opened as a job.
  void take(const std::string& path) {
    if (!names_photometry(path)) return open(path);
    try {
      std::string why;
      const auto words = photometry_words(path, read_file(path), why);
      if (!words) model.notice = why;
      else if (!now.left || !now.left->study) model.notice = say("the job is still being worked out: try again in a moment");
      else if (now.left->study->job.lamps.empty()) model.notice = say("the job has no lamp that {} could be given to", std::filesystem::path(path).filename().string());
      else {
        desk.photometry = path;
        desk.photometry_words = *words;
        model.notice.clear();
      }
    } catch (const std::exception& error) {
      model.notice = error.what();
    }
  }

  /// Made beside the window; what came of it is said when it is there.
  void print_paper() {
    if (!now.left || !now.left->study || now.left->draft || now.left->text != model.history.now().text) {
      model.notice = say("the job is still being worked out: try again in a moment");
      return;
    }
    const std::string stem = model.path.empty() ? "rakelight" : std::filesystem::path(model.path).replace_extension().string();
    std::string path;
    for (int i = 1; path.empty() || std::filesystem::exists(path); ++i) path = i == 1 ? stem + "-paper.pdf" : fmt::format("{}-paper-{}.pdf", stem, i);
    const std::string name = model.path.empty() ? say("a job that was never saved") : std::filesystem::path(model.path).filename().string();
    model.notice = printer->print(now.left, name, path) ? say("making the paper …") : say("a paper is being made already");
  }

  void feed(const Input& input) {
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = {static_cast<float>(std::max(input.width, 1)), static_cast<float>(std::max(input.height, 1))};
    const double ratio = static_cast<double>(std::max(input.pixels_wide, 1)) / std::max(input.width, 1);
    io.DisplayFramebufferScale = {static_cast<float>(ratio), static_cast<float>(static_cast<double>(std::max(input.pixels_high, 1)) / std::max(input.height, 1))};
    io.DeltaTime = static_cast<float>(std::clamp(input.time - last_time, 1e-4, 1.0));
    last_time = input.time;
    io.MousePos = {static_cast<float>(input.mouse.x), static_cast<float>(input.mouse.y)};
    for (std::size_t i = 0; i < 3; ++i) io.MouseDown[i] = input.buttons[i];
    io.MouseWheel = static_cast<float>(input.wheel.y);
    io.MouseWheelH = static_cast<float>(input.wheel.x);
    for (std::size_t i = 0; i < input.keys.size(); ++i) io.KeysDown[i] = input.keys[i];
    io.ConfigFlags = model.controls ? io.ConfigFlags | ImGuiConfigFlags_NavEnableKeyboard : io.ConfigFlags & ~ImGuiConfigFlags_NavEnableKeyboard;
    io.KeyCtrl = input.keys[GLFW_KEY_LEFT_CONTROL] || input.keys[GLFW_KEY_RIGHT_CONTROL];
    io.KeyShift = input.keys[GLFW_KEY_LEFT_SHIFT] || input.keys[GLFW_KEY_RIGHT_SHIFT];
    io.KeyAlt = input.keys[GLFW_KEY_LEFT_ALT] || input.keys[GLFW_KEY_RIGHT_ALT];
    for (const char32_t c : input.typed) io.AddInputCharacter(static_cast<unsigned>(c));
    // where text is in pixels of the window's own units; a window under the least size has smaller text instead
    double logical = text_size * input.scale / ratio;
    logical = std::clamp(logical, 4.0, std::max(4.0, std::min(input.width / least_wide, input.height / least_high)));
    em = static_cast<float>(std::floor(logical * ratio + 0.5) / ratio);
    const auto font = static_cast<float>(em * ratio);
    if (font != font_pixels) {
      font_pixels = font;
      load_font(font);
      ImGui_ImplOpenGL3_DestroyFontsTexture();
      ImGui_ImplOpenGL3_CreateFontsTexture();
      set_theme(em);
    }
    io.FontGlobalScale = static_cast<float>(1 / ratio);
  }

  void take_wishes() {
    if (wishes.quit) close();
    if (!wishes.language.empty()) {
      choose_language(wishes.language);
      model.notice.clear();  // it was said in the language before
    }
    if (wishes.save) save();
    if (!wishes.save_as.empty()) save(wishes.save_as);
    if (wishes.save_picture) save_picture();
    if (wishes.print_paper) print_paper();
    if (wishes.measure) measure(*std::exchange(wishes.measure, std::nullopt));
    errand->finish();
    if (const auto printed = printer->said(); printed && !printed->empty()) model.notice = *printed;
    if (!wishes.open_path.empty()) open(wishes.open_path);
    if (wishes.reread && !model.path.empty()) {
      try {
        const std::string text = read_file(model.path);
        if (text != model.history.now().text) model.history.push({text, {}, say("read again")});
        model.saved_text = text;
        keeper.keep_mine(model);  // the question whose text stands is answered
        model.saved_text = text;
        ++generation;
        model.notice = say("read again");
      } catch (const std::exception& error) {
        model.notice = error.what();
      }
    } else if (wishes.reread) {
      model.notice = say("this job was never saved: there is nothing to read again");
    }
    if (wishes.new_room && may_leave("new room")) {
      take_up(Model(desk.first_text));
      model.saved_text.clear();  // no file has it
      model.plan_grown = true;
      desk.chosen = "window W1";
    }
    wishes = {};
    if (model.quit) return;
    if (keeper.look(model, last_time)) ++generation;
    keeper.keep(model, last_time);
  }

  void ask() {
    Asked asked;
    asked.left = model.history.now().text;
    asked.right = model.right_text();
    asked.loader = model.loader();
    asked.generation = generation;
    // the first picture need not wait for the finest light
    asked.draft = model.moving || !now.left || (!now.left->study && !now.left->broken());
    if (model.moment && model.place) asked.stand = stand_of(model);
    asked.year_sky = model.year_sky;
    asked.counsel = model.cures_wanted;
    if (model.question == Question::way_round) asked.ways = model.surface;
    if (model.moment && model.moment->time.given) model.year = model.moment->time->year;
    asked.year = model.year;
    const std::string key = fmt::format("{}|{}|{}|{}|{}|{}|{}|{}|{}", generation, asked.left, asked.right ? *asked.right : "", asked.draft, asked.stand ? asked.stand->key() : "", asked.year_sky, asked.year, asked.counsel, asked.ways);
    if (key != asked_key) work->ask(asked), asked_key = key;
    const Work::State before = std::move(now);
    now = work->state();
    now.doing = phrase(now.doing);
    now.also_doing = phrase(now.also_doing);
    // what is not there yet is what was there before, so that nothing blinks; but nobody stands where they stood before
    if (!now.left || (!now.left->study && !now.left->broken())) now.left = before.left;
    if (asked.right && !now.right) now.right = before.right;
    if (now.left && now.left->assessment) assessed = now.left;
  }

  void forget() {
    now = {};
    assessed = nullptr;
    pictures = nullptr;
    asked_key.clear();
    ordered_key.clear();
    desk.drag.reset();
    desk.chosen.clear();
    desk.photometry.clear();
    desk.placing = false;
    desk.sheet = {};
  }

  /// The picture of what is looked at; empty while that is not known.
  std::optional<PictureOrder> wanted() const {
    if (!now.left || !now.left->study || !model.moment || !model.place || picture_pixels.x < 8 || picture_pixels.y < 8) return std::nullopt;
    if (model.right_text() && (!now.right || !now.right->study)) return std::nullopt;
    const Study& study = *now.left->study;
    PictureOrder o;
    o.left = now.left;
    o.right = model.right_text() ? now.right : nullptr;
    o.moment = *model.moment;
    Stand stand = stand_of(model);
    stand.viewer = stand.only_surface = "";
    stand.eye = dvec3(0);
    o.moment_key = stand.key();
    const int width = static_cast<int>(picture_pixels.x), height = static_cast<int>(picture_pixels.y);
    const int facing = study.room.find(model.place->facing);
    if (model.place->only_facing() && facing >= 0) {
      o.view = square_on_view(study.room, facing, model.place->eye, width, height);
    } else {
      o.view.kind = View::Kind::perspective;
      o.view.eye = model.place->eye;
      o.view.target = model.place->target;
      o.view.field_of_view = model.place->field_of_view;
      o.view.width = width;
      o.view.height = height;
    }
    o.view.amplify = model.amplify;
    o.view.relief = model.relief;
    o.view.stipple = model.stipple;
    o.figure = model.figure && o.view.kind == View::Kind::perspective;
    o.judged = study.room.find(model.surface);
    o.place = place_text(model, study);
    o.moving = model.moving || model.playing;
    return o;
  }
  void order() {
    const auto o = wanted();
    if (!o) return;
    const std::string key = fmt::format("{}|{}|{}|{}|{}|{}", o->drawn_key(), o->view.amplify, o->view.relief, o->place, o->figure, o->judged);
    if (key == ordered_key) return;
    maker->order(*o);
    ordered_key = key;
  }
  /// Whether the picture on the screen, and what is said of it, are of the job as it stands, and as fine as they get.
  bool shown_as_wanted() const {
    const auto o = wanted();
    if (!o || !pictures || pictures->coarseness > 1 || pictures->draft) return false;
    if (pictures->key != o->drawn_key() || pictures->view.amplify != o->view.amplify || pictures->view.relief != o->view.relief || pictures->place != o->place || pictures->figure_asked != o->figure) return false;
    const auto current = [&](const Found& found, const std::string& text) { return !found.draft && found.text == text && found.generation == generation; };
    if (!current(*o->left, model.history.now().text) || (o->right && !current(*o->right, *model.right_text()))) return false;
    // the headings of a pair say what shows
    return !o->right || (o->left->assessment && o->right->assessment && now.left_here && now.right_here);
  }

  void frame(const Input& input) {
    const QuickThread watched(said);
    const double began = thread_seconds();
    glfwMakeContextCurrent(main.window);
    feed(input);
    if (!input.dropped.empty()) take(input.dropped.back());
    if (const auto latest = maker->latest(); latest && latest->number != shown_number) {
      shown_number = latest->number;
      if (!latest->trouble.empty()) model.notice = latest->trouble;
      else {
        if (!pictures && first_picture < 0) first_picture = std::chrono::duration<double>(std::chrono::steady_clock::now() - born).count();
        pictures = latest;
        left = ScreenPicture(*latest->left);
        right = latest->right ? ScreenPicture(*latest->right) : ScreenPicture();
      }
    }
    ImGui_ImplOpenGL3_NewFrame();
    ImGui::NewFrame();
    spots.clear();
    const auto texture = [](const ScreenPicture& p) { return reinterpret_cast<ImTextureID>(p.handle()); };
    Sight sight{model, desk, wishes, input, now, assessed.get(), pictures.get(), texture(left), texture(right), !maker->idle(), printer->busy(), maker->preparing(), em, spots, keeper};
    settle_choices(model, now.left.get());
    const bool typing = ImGui::GetIO().WantTextInput;
    const auto moves = [](Action a) { return a == Action::day_back || a == Action::day_on || a == Action::earlier || a == Action::later || a == Action::look_up || a == Action::look_down; };
    for (const Action action : keys.read(input))
      if ((!typing || action == Action::leave || action == Action::quit) && !(model.controls && moves(action))) act(sight, action);
    model.swapped = !typing && !model.controls && input.keys[GLFW_KEY_SPACE] && !model.history.now().variation.empty();
    if (model.playing && model.moment && model.moment->time.given && input.time > desk.caught_at + play_every) {
      desk.caught_at = input.time;
      act(sight, Action::later);
    }
    draw_view(sight);
    const auto area = spots.find("picture");
    if (area != spots.end()) {
      const dvec2 size = area->second.hi - area->second.lo;
      const double ratio = static_cast<double>(std::max(input.pixels_wide, 1)) / std::max(input.width, 1);
      picture_pixels = glm::floor(size * ratio / static_cast<double>(picture_pixel));
    }
    ImGui::Render();
    clear_screen(input.pixels_wide, input.pixels_high, {119 / 255.0, 119 / 255.0, 119 / 255.0});
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    said += log->complaints();
    take_wishes();
    ask();
    order();
    const std::string title = fmt::format("{}{} – Rakelight", model.path.empty() ? say("a copy") : std::filesystem::path(model.path).filename().string(), model.changed() ? " *" : "");
    if (title != window_title) glfwSetWindowTitle(main.window, title.c_str()), window_title = title;
    if (input.close) close();
    ++frames;
    longest = std::max(longest, thread_seconds() - began);
  }

  double rest() const {
    if (model.playing) return play_every;
    if (!work->state().idle() || ImGui::GetIO().WantTextInput) return blink;
    return std::numeric_limits<double>::infinity();
  }
  void run() {
    int settling = 3;  // frames after the last event: what a frame changes is laid out in the next
    while (!model.quit && !ended) {
      const double sleep = rest();
      if (settling > 0) glfwPollEvents();
      else if (std::isfinite(sleep)) glfwWaitEventsTimeout(sleep);
      else {
        asleep = true;
        glfwWaitEvents();
        asleep = false;
      }
      const bool waited = settling <= 0;
      const Input input = events.take();
      if (input.width > 0 && input.height > 0) frame(input);
      else if (input.close) close();
      glfwSwapBuffers(main.window);
      settling = waited ? 3 : settling - 1;
    }
  }

  std::string state_folder;
  int picture_pixel;
  Glfw glfw;
  WindowHandle main, side;
  std::unique_ptr<ScreenLog> log;
  std::unique_ptr<Gui> gui;
  Model model;
  Keeper keeper;
  Desk desk;
  Wishes wishes;
  Events events{main.window};
  KeyReader keys;
  std::map<std::string, Spot> spots;
  std::unique_ptr<Work> work;
  std::unique_ptr<FileWatch> watch;
  std::unique_ptr<PictureMaker> maker;
  std::unique_ptr<PaperPrinter> printer;
  std::unique_ptr<Errand> errand;
  Work::State now;
  std::shared_ptr<const Found> assessed;
  std::shared_ptr<const Pictures> pictures;
  ScreenPicture left, right;
  dvec2 picture_pixels{0};
  long shown_number = 0;
  std::atomic<long> frames = 0;
  std::atomic<bool> asleep = false, ended = false;
  long generation = 0;                 ///< of what is on the disk: one more whenever a file is read anew
  double last_time = 0, longest = 0;
  std::atomic<double> first_picture = -1;
  std::chrono::steady_clock::time_point born = std::chrono::steady_clock::now();
  float em = 15, font_pixels = 0;
  std::string asked_key, ordered_key, window_title, said, leaving;
};

AppWindow::AppWindow(const WindowOptions& options) : state_(std::make_unique<State>(options)) {}
AppWindow::~AppWindow() = default;
void AppWindow::run() { state_->run(); }
void AppWindow::frame(const Input& input) {
  glfwPollEvents();
  state_->frame(input);
  glfwSwapBuffers(state_->main.window);
}
bool AppWindow::idle() const { return !state_->printer->busy() && !state_->errand->busy() && state_->work->state().idle() && state_->maker->idle() && state_->maker->latest() && state_->maker->latest()->number == state_->shown_number; }
Image AppWindow::screen() {
  int width = 0, height = 0;
  glfwGetFramebufferSize(state_->main.window, &width, &height);
  // the back buffer is undefined after a swap: the last frame is drawn again
  clear_screen(width, height, {119 / 255.0, 119 / 255.0, 119 / 255.0});
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  return read_screen(width, height);
}
const Model& AppWindow::model() const { return state_->model; }
const Found* AppWindow::found() const { return state_->now.left.get(); }
const Pictures* AppWindow::pictures() const { return state_->pictures.get(); }
std::optional<Spot> AppWindow::spot(const std::string& name) const {
  const auto at = state_->spots.find(name);
  return at == state_->spots.end() ? std::nullopt : std::optional(at->second);
}
const std::map<std::string, Spot>& AppWindow::spots() const { return state_->spots; }
std::string AppWindow::complaints() const { return state_->said; }
long AppWindow::frames_drawn() const { return state_->frames; }
double AppWindow::rest() const { return state_->rest(); }
bool AppWindow::asleep() const { return state_->asleep; }
void AppWindow::end() {
  state_->ended = true;
  glfwPostEmptyEvent();
}
double AppWindow::longest_frame() const { return state_->longest; }
double AppWindow::first_picture() const { return state_->first_picture; }

}  // namespace rakelight
