#include "window/window.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

#include "draw/screen.h"
#include "embedded_assets.h"
#include "report/report.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr double text_size = 15;               // pixels of an em at scale 1
constexpr double least_wide = 64, least_high = 40;  // em
constexpr double play_every = 0.25;            // s between steps of five minutes
constexpr double blink = 0.5;                  // s between frames while a field is typed in

std::string last_glfw_error;
void on_error(int, const char* text) { last_glfw_error = text; }

std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error("cannot read " + path);
  std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  if (in.bad() || std::filesystem::is_directory(path)) throw std::runtime_error("cannot read " + path + ": it is no file");
  return text;
}

/// GLFW itself: one for all windows of the program.
struct Glfw {
  Glfw() {
    glfwSetErrorCallback(on_error);
    if (!glfwInit())
      throw NoWindow(fmt::format("a window needs a display, and there is none ({}).\nWithout one: rakelight assess JOB, rakelight render JOB -o F.png", last_glfw_error.empty() ? "no reason given" : last_glfw_error));
  }
  ~Glfw() { glfwTerminate(); }
  Glfw(const Glfw&) = delete;
  Glfw& operator=(const Glfw&) = delete;
};

GLFWwindow* make_window(int width, int height, const char* title, bool visible) {
  glfwDefaultWindowHints();
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 4);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 1);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  glfwWindowHint(GLFW_OPENGL_DEBUG_CONTEXT, GLFW_TRUE);
  glfwWindowHint(GLFW_VISIBLE, visible ? GLFW_TRUE : GLFW_FALSE);
  glfwWindowHint(GLFW_DEPTH_BITS, 0);
  glfwWindowHint(GLFW_STENCIL_BITS, 0);
  GLFWwindow* window = glfwCreateWindow(width, height, title, nullptr, nullptr);
  if (!window)
    throw NoWindow(fmt::format("the window needs OpenGL 4.1 core, which this display does not give ({}).\nWithout it: rakelight assess JOB", last_glfw_error.empty() ? "no reason given" : last_glfw_error));
  return window;
}

struct WindowHandle {
  GLFWwindow* window = nullptr;
  WindowHandle(int width, int height, const char* title, bool visible) : window(make_window(width, height, title, visible)) {}
  ~WindowHandle() { glfwDestroyWindow(window); }
  WindowHandle(const WindowHandle&) = delete;
  WindowHandle& operator=(const WindowHandle&) = delete;
};

/// Dear ImGui with its OpenGL side; the context must be current from first to last.
struct Gui {
  Gui() {
    IMGUI_CHECKVERSION();
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    io.ConfigInputTextCursorBlink = false;
    io.BackendFlags |= ImGuiBackendFlags_HasMouseCursors;
    static constexpr std::pair<int, int> map[] = {{ImGuiKey_Tab, GLFW_KEY_TAB}, {ImGuiKey_LeftArrow, GLFW_KEY_LEFT}, {ImGuiKey_RightArrow, GLFW_KEY_RIGHT}, {ImGuiKey_UpArrow, GLFW_KEY_UP},
        {ImGuiKey_DownArrow, GLFW_KEY_DOWN}, {ImGuiKey_PageUp, GLFW_KEY_PAGE_UP}, {ImGuiKey_PageDown, GLFW_KEY_PAGE_DOWN}, {ImGuiKey_Home, GLFW_KEY_HOME}, {ImGuiKey_End, GLFW_KEY_END},
        {ImGuiKey_Insert, GLFW_KEY_INSERT}, {ImGuiKey_Delete, GLFW_KEY_DELETE}, {ImGuiKey_Backspace, GLFW_KEY_BACKSPACE}, {ImGuiKey_Space, GLFW_KEY_SPACE}, {ImGuiKey_Enter, GLFW_KEY_ENTER},
        {ImGuiKey_Escape, GLFW_KEY_ESCAPE}, {ImGuiKey_KeyPadEnter, GLFW_KEY_KP_ENTER}, {ImGuiKey_A, 'A'}, {ImGuiKey_C, 'C'}, {ImGuiKey_V, 'V'}, {ImGuiKey_X, 'X'}, {ImGuiKey_Y, 'Y'}, {ImGuiKey_Z, 'Z'}};
    for (const auto& [gui, key] : map) io.KeyMap[gui] = key;
    ImGui_ImplOpenGL3_Init("#version 410 core");
  }
  ~Gui() {
    ImGui_ImplOpenGL3_Shutdown();
    ImGui::DestroyContext();
  }
  Gui(const Gui&) = delete;
  Gui& operator=(const Gui&) = delete;
};

}  // namespace

std::string usual_state_folder() {
  if (const char* state = std::getenv("XDG_STATE_HOME"); state && *state) return std::string(state) + "/rakelight";
  if (const char* home = std::getenv("HOME"); home && *home) return std::string(home) + "/.local/state/rakelight";
  return "";
}

struct AppWindow::State {
  explicit State(const WindowOptions& options)
      : state_folder(options.state_folder), main(options.width, options.height, "Rakelight", options.visible), side(16, 16, "Rakelight pictures", false),
        model(options.job.empty() ? std::string(embedded_assets("demo/home.toml")) : read_file(options.job), options.job) {
    glfwMakeContextCurrent(main.window);
    load_opengl(reinterpret_cast<OpenGlAddress (*)(const char*)>(glfwGetProcAddress));
    log = std::make_unique<ScreenLog>();
    gui = std::make_unique<Gui>();
    glfwSetWindowUserPointer(main.window, this);
    glfwSetScrollCallback(main.window, [](GLFWwindow* w, double x, double y) { of(w)->events.wheel += dvec2(x, y); });
    glfwSetCharCallback(main.window, [](GLFWwindow* w, unsigned c) { of(w)->events.typed += static_cast<char32_t>(c); });
    glfwSetDropCallback(main.window, [](GLFWwindow* w, int count, const char** paths) { for (int i = 0; i < count; ++i) of(w)->events.dropped.emplace_back(paths[i]); });
    glfwSetKeyCallback(main.window, [](GLFWwindow* w, int key, int, int action, int) {
      if (key >= 0 && key < 512) of(w)->events.keys[static_cast<std::size_t>(key)] = action != GLFW_RELEASE;
    });
    // a press and release between two frames must still be seen
    glfwSetMouseButtonCallback(main.window, [](GLFWwindow* w, int key, int action, int) {
      if (key >= 0 && key < 3 && action == GLFW_PRESS) of(w)->pressed[static_cast<std::size_t>(key)] = true;
    });
    const auto wake = [] { glfwPostEmptyEvent(); };
    work = std::make_unique<Work>(wake);
    maker = std::make_unique<PictureMaker>([window = side.window] { glfwMakeContextCurrent(window); }, wake);
    read_recent();
    if (!options.job.empty()) remember(options.job);
  }
  ~State() {
    maker.reset();
    work.reset();
    glfwMakeContextCurrent(main.window);
    left = {};
    right = {};
    gui.reset();
    log.reset();
  }
  static State* of(GLFWwindow* window) { return static_cast<State*>(glfwGetWindowUserPointer(window)); }

  void read_recent() {
    if (state_folder.empty()) return;
    std::ifstream in(state_folder + "/recent");
    for (std::string line; std::getline(in, line) && desk.recent.size() < 8;)
      if (!line.empty()) desk.recent.push_back(line);
  }
  void remember(const std::string& path) {
    std::error_code ignored;
    const std::string full = std::filesystem::absolute(path, ignored).string();
    std::erase(desk.recent, full);
    desk.recent.insert(desk.recent.begin(), full);
    if (desk.recent.size() > 8) desk.recent.resize(8);
    if (state_folder.empty()) return;
    std::filesystem::create_directories(state_folder, ignored);
    std::string text;
    for (const std::string& p : desk.recent) text += p + "\n";
    try {
      write_file(state_folder + "/recent", text);
    } catch (const std::exception&) {
      // a list of conveniences is no reason to stop anybody's work
    }
  }
  void open(const std::string& path) {
    try {
      model = Model(read_file(path), path);
      forget();
      remember(path);
    } catch (const std::exception& error) {
      model.notice = error.what();
    }
  }
  void save() {
    if (model.path.empty()) {
      desk.naming = true;
      if (desk.name_for_saving.empty()) desk.name_for_saving = "my-room.toml";
      return;
    }
    try {
      write_file(model.path, model.history.now().text);
      model.saved_text = model.history.now().text;
      remember(model.path);
      model.notice = model.path + " written";
    } catch (const std::exception& error) {
      model.notice = error.what();
    }
  }
  void save_picture() {
    if (!pictures || !pictures->left || !now.left || !now.left->study) {
      model.notice = "there is no picture yet";
      return;
    }
    const std::string stem = model.path.empty() ? "rakelight" : std::filesystem::path(model.path).replace_extension().string();
    std::string path;
    for (int i = 1; path.empty() || std::filesystem::exists(path); ++i) path = fmt::format("{}-{}{}.png", stem, pictures->right ? "pair-" : "picture-", i);
    try {
      const std::vector<std::string> caption = caption_lines(model, *now.left->study, *pictures);
      Image image = *pictures->left;
      if (pictures->right && now.right) {
        const auto heading = [&](const Found& found, const HereFound* here) {
          const auto lines = chip_lines(found, here, model.surface);
          return lines.empty() ? std::string() : lines.size() > 2 ? lines[0] + " · " + lines[2] : lines[0];
        };
        image = side_by_side({*pictures->left, *pictures->right}, {heading(*now.left, now.left_here.get()), heading(*now.right, now.right_here.get())});
      }
      write_file(path, png_bytes(with_caption(image, caption)));
      model.notice = path + " written";
      last_picture = path;
    } catch (const std::exception& error) {
      model.notice = error.what();
    }
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
    if (wishes.save) save();
    if (wishes.save_picture) save_picture();
    if (!wishes.open_path.empty()) open(wishes.open_path);
    if (wishes.reread && !model.path.empty()) {
      try {
        const std::string text = read_file(model.path);
        if (text != model.history.now().text) model.history.push({text, {}, "read again"});
        model.saved_text = text;
        model.notice = "read again";
      } catch (const std::exception& error) {
        model.notice = error.what();
      }
    } else if (wishes.reread) {
      model.notice = "this job was never saved: there is nothing to read again";
    }
    if (wishes.new_room) {
      model = Model(first_job(desk.room));
      forget();
      model.plan_grown = true;
      desk.chosen = "window W1";
    }
    wishes = {};
  }

  void ask() {
    Asked asked;
    asked.left = model.history.now().text;
    asked.right = model.right_text();
    asked.loader = model.loader();
    asked.draft = model.moving;
    if (model.moment && model.place) asked.stand = stand_of(model);
    asked.year_sky = model.year_sky;
    const std::string key = fmt::format("{}|{}|{}|{}|{}", asked.left, asked.right ? *asked.right : "", asked.draft, asked.stand ? asked.stand->key() : "", asked.year_sky);
    if (key != asked_key) work->ask(asked), asked_key = key;
    const Work::State before = std::move(now);
    now = work->state();
    // what is not there yet is what was there before, so that nothing blinks
    if (!now.left || (!now.left->study && !now.left->broken())) now.left = before.left;
    if (asked.right && !now.right) now.right = before.right;
    if (asked.stand && !now.left_here) now.left_here = before.left_here;
    if (now.left && now.left->assessment) assessed = now.left;
  }

  void forget() {
    now = {};
    assessed = nullptr;
    pictures = nullptr;
    asked_key.clear();
    ordered_key.clear();
  }

  void order() {
    if (!now.left || !now.left->study || !model.moment || !model.place || picture_pixels.x < 8 || picture_pixels.y < 8) return;
    if (model.right_text() && (!now.right || !now.right->study)) return;
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
    o.moving = model.moving || model.playing;
    const std::string key = fmt::format("{}|{}|{}", o.drawn_key(), model.amplify, model.relief);
    if (key == ordered_key) return;
    maker->order(o);
    ordered_key = key;
  }

  void frame(const Input& input) {
    const auto began = std::chrono::steady_clock::now();
    glfwMakeContextCurrent(main.window);
    feed(input);
    for (const std::string& path : input.dropped) open(path);
    if (const auto latest = maker->latest(); latest && latest->number != shown_number) {
      shown_number = latest->number;
      if (!latest->trouble.empty()) model.notice = latest->trouble;
      else {
        pictures = latest;
        left = ScreenPicture(*latest->left);
        right = latest->right ? ScreenPicture(*latest->right) : ScreenPicture();
      }
    }
    ImGui_ImplOpenGL3_NewFrame();
    ImGui::NewFrame();
    spots.clear();
    const auto texture = [](const ScreenPicture& p) { return reinterpret_cast<ImTextureID>(p.handle()); };
    Sight sight{model, desk, wishes, input, now, assessed.get(), pictures.get(), texture(left), texture(right), !maker->idle(), em, spots};
    settle_choices(model, now.left.get());
    const bool typing = ImGui::GetIO().WantTextInput;
    const auto moves = [](Action a) { return a == Action::day_back || a == Action::day_on || a == Action::earlier || a == Action::later; };
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
      picture_pixels = glm::floor(size * ratio);
    }
    ImGui::Render();
    clear_screen(input.pixels_wide, input.pixels_high, {119 / 255.0, 119 / 255.0, 119 / 255.0});
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    said += log->complaints();
    take_wishes();
    ask();
    order();
    const std::string title = fmt::format("{}{} – Rakelight", model.path.empty() ? "a copy" : std::filesystem::path(model.path).filename().string(), model.changed() ? " *" : "");
    if (title != window_title) glfwSetWindowTitle(main.window, title.c_str()), window_title = title;
    if (input.close) model.quit = true;
    ++frames;
    longest = std::max(longest, std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count());
  }

  Input input_of_glfw() {
    Input in = events;
    events.wheel = dvec2(0);
    events.typed.clear();
    events.dropped.clear();
    in.time = glfwGetTime();
    glfwGetWindowSize(main.window, &in.width, &in.height);
    glfwGetFramebufferSize(main.window, &in.pixels_wide, &in.pixels_high);
    float x = 1, y = 1;
    glfwGetWindowContentScale(main.window, &x, &y);
    in.scale = x;
    glfwGetCursorPos(main.window, &in.mouse.x, &in.mouse.y);
    for (int i = 0; i < 3; ++i) {
      in.buttons[static_cast<std::size_t>(i)] = pressed[static_cast<std::size_t>(i)] || glfwGetMouseButton(main.window, i) == GLFW_PRESS;
      pressed[static_cast<std::size_t>(i)] = false;
    }
    in.close = glfwWindowShouldClose(main.window);
    return in;
  }

  void run() {
    int settling = 3;  // frames after the last event: what a frame changes is laid out in the next
    while (!model.quit) {
      if (settling > 0) glfwPollEvents();
      else if (model.playing) glfwWaitEventsTimeout(play_every);
      else if (!work->state().idle() || ImGui::GetIO().WantTextInput) glfwWaitEventsTimeout(blink);
      else glfwWaitEvents();
      const bool waited = settling <= 0;
      const Input input = input_of_glfw();
      if (input.width > 0 && input.height > 0) frame(input);
      if (input.close) break;
      glfwSwapBuffers(main.window);
      settling = waited ? 3 : settling - 1;
    }
  }

  std::string state_folder;
  Glfw glfw;
  WindowHandle main, side;
  std::unique_ptr<ScreenLog> log;
  std::unique_ptr<Gui> gui;
  Model model;
  Desk desk;
  Wishes wishes;
  Input events;
  std::array<bool, 3> pressed{};
  KeyReader keys;
  std::map<std::string, Spot> spots;
  std::unique_ptr<Work> work;
  std::unique_ptr<PictureMaker> maker;
  Work::State now;
  std::shared_ptr<const Found> assessed;
  std::shared_ptr<const Pictures> pictures;
  ScreenPicture left, right;
  dvec2 picture_pixels{0};
  long shown_number = 0, frames = 0;
  double last_time = 0, longest = 0;
  float em = 15, font_pixels = 0;
  std::string asked_key, ordered_key, window_title, said, last_picture;
};

AppWindow::AppWindow(const WindowOptions& options) : state_(std::make_unique<State>(options)) {}
AppWindow::~AppWindow() = default;
void AppWindow::run() { state_->run(); }
void AppWindow::frame(const Input& input) {
  glfwPollEvents();
  state_->frame(input);
  glfwSwapBuffers(state_->main.window);
}
bool AppWindow::idle() const { return state_->work->state().idle() && state_->maker->idle() && state_->maker->latest() && state_->maker->latest()->number == state_->shown_number; }
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
std::string AppWindow::complaints() const { return state_->said; }
long AppWindow::frames_drawn() const { return state_->frames; }
double AppWindow::longest_frame() const { return state_->longest; }

}  // namespace rakelight
