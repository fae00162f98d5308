#include "window/keeper.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>

#include "base/checksum.h"
#include "base/say.h"
#include "report/report.h"
#include "window/merge.h"

namespace rakelight {
namespace {

namespace fs = std::filesystem;

constexpr int places = 9;              // windows that may have one job open at once, each with unsaved work
constexpr double look_every = 1;       // s
constexpr double share = 20;           // writing takes at most one part in so many of the time

std::string stamp_of_file(const std::string& path) {
  struct stat s {};
  if (::stat(path.c_str(), &s) != 0) return "";
  return fmt::format("{}.{} {} {} {}.{}", s.st_mtim.tv_sec, s.st_mtim.tv_nsec, s.st_size, s.st_ino, s.st_ctim.tv_sec, s.st_ctim.tv_nsec);
}

constexpr std::string_view title = "# Unsaved work of ", process = "# process ", base = "# begun from the file with SHA-256 ", checksum = "# this work has SHA-256 ";

std::string kept_bytes(const Model& model) {
  const std::string& text = model.history.now().text;
  std::string name = model.path.empty() ? "a job without a file" : fs::path(model.path).filename().string();
  for (char& c : name)
    if (c == '\n' || c == '\r') c = ' ';
  return fmt::format("{}{}; it is offered when the job is opened again.\n{}{}\n{}{}\n{}{}\n{}", title, name, process, ::getpid(), base, sha256(model.saved_text), checksum, sha256(text), text);
}

struct Read { int process = 0; std::string base, text; };

/// Empty for anything that is not whole.
std::optional<Read> read_kept(std::string_view bytes) {
  const auto line = [&](std::string_view word) -> std::optional<std::string> {
    const std::size_t end = bytes.find('\n');
    if (end == bytes.npos || !bytes.starts_with(word)) return std::nullopt;
    std::string rest(bytes.substr(word.size(), end - word.size()));
    bytes.remove_prefix(end + 1);
    return rest;
  };
  if (!line(title)) return std::nullopt;
  const auto who = line(process), from = line(base), sum = line(checksum);
  if (!who || !from || !sum || *sum != sha256(bytes)) return std::nullopt;
  Read read{0, *from, std::string(bytes)};
  std::from_chars(who->data(), who->data() + who->size(), read.process);
  return read;
}

/// Whether another process of this program has that number: it still works on what it keeps.
bool at_work(int other) {
  if (other <= 0 || other == ::getpid()) return false;
  std::error_code mine_unknown, other_unknown;
  const fs::path mine = fs::read_symlink("/proc/self/exe", mine_unknown), others = fs::read_symlink(fmt::format("/proc/{}/exe", other), other_unknown);
  if (mine_unknown || other_unknown) return false;
  return mine == others;
}

/// What a write that was cut off left beside `file`, of programs that are gone.
void tidy(const std::string& file) {
  std::error_code error;
  const fs::path path(file), folder = path.parent_path().empty() ? fs::path(".") : path.parent_path();
  const std::string start = path.filename().string() + ".part";
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const std::string name = at->path().filename().string();
    if (!name.starts_with(start)) continue;
    int writer = 0;
    const auto [last, wrong] = std::from_chars(name.data() + start.size(), name.data() + name.size(), writer);
    if (wrong != std::errc() || last != name.data() + name.size() || writer == ::getpid() || ::kill(writer, 0) == 0 || errno != ESRCH) continue;
    std::error_code ignored;
    fs::remove(at->path(), ignored);
  }
}

/// Whoever may not read the job may not read what is kept of it either. Returns whether the file was made.
bool make_ready(const std::string& file, const std::string& job) {
  struct stat s {};
  if (job.empty() || ::stat(job.c_str(), &s) != 0) return false;
  const int made = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, s.st_mode & 0666);
  return made >= 0 && ::close(made) == 0;
}

bool sound(const std::string& text, const Model& model) {
  Diagnostics diagnostics;
  check_text(JobText(text), model.loader(), diagnostics);
  return diagnostics.ok();
}

}  // namespace

Disk::Disk()
    : read([](const std::string& path) { return read_bytes(path); }), write([](const std::string& path, const std::string& bytes) { write_file(path, bytes); }),
      remove([](const std::string& path) {
        std::error_code ignored;
        fs::remove(path, ignored);
      }),
      stamp(stamp_of_file) {}

std::string Keeper::place(const std::string& job, int number, bool in_state) const {
  const std::string end = number == 1 ? ".unsaved" : fmt::format(".unsaved{}", number);
  if (job.empty() || in_state) {
    if (state_.empty()) return "";
    std::error_code ignored;
    return job.empty() ? state_ + "/new-job" + end : state_ + "/" + sha256(fs::absolute(job, ignored).string()).substr(0, 16) + end;
  }
  const fs::path path(job);
  return (path.parent_path() / ("." + path.filename().string() + end)).string();
}

std::optional<Kept> Keeper::find(const Model& model) const {
  for (const bool in_state : {false, true})
    for (int i = 1; i <= places; ++i) {
      const std::string file = place(model.path, i, in_state);
      if (file.empty() || file == mine_) continue;
      const std::optional<std::string> bytes = disk_.read(file);
      if (!bytes) continue;
      const std::optional<Read> read = read_kept(*bytes);
      if (!read || at_work(read->process)) continue;
      if (read->text == model.saved_text) {
        disk_.remove(file);  // it was saved after all, and the program ended before it could say so
        continue;
      }
      return Kept{read->text, file, read->base == sha256(model.saved_text)};
    }
  return std::nullopt;
}

void Keeper::take_up(const Model& model) {
  mine_.clear();
  kept_.clear();
  clash_.reset();
  failing_ = gone_ = unreadable_ = false;
  next_keep_ = next_look_ = -1;
  stamp_ = model.path.empty() ? "" : disk_.stamp(model.path);
  if (!model.path.empty()) tidy(model.path);
  for (const bool in_state : {false, true})
    if (const std::string file = place(model.path, 1, in_state); !file.empty()) tidy(file);
  offered_ = find(model);
}

void Keeper::restore(Model& model) {
  if (!offered_) return;
  const Kept found = *std::exchange(offered_, std::nullopt);
  model.history.drop();
  if (found.text != model.history.now().text) model.history.push({found.text, {}, say("unsaved work brought back")});
  model.notice = say("the unsaved work is back; Ctrl Z shows the file as it is, Ctrl S saves");
  // written anew there, as the work of this window
  mine_ = found.file;
  kept_.clear();
}

void Keeper::discard(const Model& model) {
  if (!offered_) return;
  disk_.remove(offered_->file);
  offered_ = find(model);
}

void Keeper::drop() {
  if (!mine_.empty()) disk_.remove(mine_);
  mine_.clear();
  kept_.clear();
}

void Keeper::give_up() { drop(); }

void Keeper::keep(Model& model, double now) {
  if (model.history.trying()) return;
  const std::string& text = model.history.now().text;
  if (!model.changed()) {
    drop();
    failing_ = false;
    return;
  }
  if (text == kept_ || now < next_keep_) return;
  const auto began = std::chrono::steady_clock::now();
  std::string why;
  const auto put = [&](const std::string& file) {
    const bool made = make_ready(file, model.path);
    try {
      disk_.write(file, kept_bytes(model));
      mine_ = file;
      kept_ = text;
      return true;
    } catch (const std::exception& error) {
      if (made) disk_.remove(file);
      if (why.empty()) why = error.what();
      return false;
    }
  };
  // where it stood before, else beside the job, else in the state folder; never over what somebody else keeps
  const std::string before = mine_;
  bool done = !mine_.empty() && put(mine_);
  for (const bool in_state : {false, true}) {
    for (int i = 1; i <= places && !done; ++i) {
      const std::string file = place(model.path, i, in_state);
      if (file.empty() || file == before) continue;
      if (const std::optional<std::string> there = disk_.read(file); there && !there->empty()) continue;
      if (in_state || model.path.empty()) {
        std::error_code ignored;
        fs::create_directories(state_, ignored);
      }
      done = put(file);
      if (!done) break;
    }
  }
  if (done && !before.empty() && before != mine_) disk_.remove(before);
  if (!done && !failing_) model.notice = say("unsaved work cannot be kept safe ({}): it is in this window alone until it is saved", why.empty() ? say("there is no folder for it") : why);
  failing_ = !done;
  const double took = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
  next_keep_ = now + share * (done ? took : 0.25);
}

bool Keeper::look(Model& model, std::optional<double> now) {
  if (model.path.empty() || clash_ || model.history.trying()) return false;
  if (now) {
    if (*now < next_look_) return false;
    next_look_ = *now + look_every;
  }
  const std::string stamp = disk_.stamp(model.path);
  if (stamp == stamp_ && !stamp.empty()) return false;
  if (stamp.empty()) {
    if (!gone_) {
      gone_ = true;
      model.saved_text.clear();
      model.notice = say("the job's file is no longer there: Ctrl S writes it again");
    }
    stamp_.clear();
    return false;
  }
  const std::optional<std::string> theirs = disk_.read(model.path);
  if (!theirs) {
    if (!unreadable_) model.notice = say("the job's file can no longer be read; the work in this window stands");
    unreadable_ = true;
    return false;
  }
  unreadable_ = false;
  stamp_ = stamp;
  const bool was_gone = std::exchange(gone_, false);
  if (*theirs == model.saved_text) return false;
  const std::string mine = model.history.now().text;
  if (*theirs == mine) {
    model.saved_text = *theirs;
    return false;
  }
  const bool mine_sound = sound(mine, model);
  if (mine_sound && !sound(*theirs, model)) {
    // perhaps somebody is in the middle of it: it is looked at again when it changes again
    model.notice = say("the job's file was changed elsewhere and cannot be read as a job now; the work in this window stands");
    return false;
  }
  if (!model.changed()) {
    model.history.push({*theirs, model.history.now().variation, say("changed elsewhere")});
    model.saved_text = *theirs;
    model.notice = say("changed elsewhere and read again; Ctrl Z brings back what was here");
    return true;
  }
  const std::optional<std::string> both = was_gone ? std::nullopt : merged(model.saved_text, mine, *theirs);
  if (both && sound(*both, model)) {
    model.history.push({*both, model.history.now().variation, say("merged with changes from elsewhere")});
    model.saved_text = *theirs;
    model.notice = say("changed elsewhere: brought together with your changes; Ctrl Z takes theirs out again");
    return true;
  }
  clash_ = *theirs;
  return false;
}

void Keeper::keep_mine(Model& model) {
  if (!clash_) return;
  model.saved_text = *std::exchange(clash_, std::nullopt);
  model.notice = say("yours stays; Ctrl S writes it over theirs");
}

void Keeper::take_theirs(Model& model) {
  if (!clash_) return;
  model.saved_text = *std::exchange(clash_, std::nullopt);
  model.history.push({model.saved_text, {}, say("theirs taken")});
  model.notice = say("theirs is the job now; Ctrl Z brings yours back");
}

bool Keeper::save(Model& model, const std::string& path) {
  model.settle();
  const bool same_file = path == model.path;
  if (!same_file && !disk_.stamp(path).empty()) {
    model.notice = say("{} is there already: it was left as it was; give another name", path);
    return false;
  }
  if (same_file) {
    // what is on the disk is read, whatever its time says: nothing that others wrote is lost
    stamp_.clear();
    if (look(model)) {
      model.notice = say("changed elsewhere: look at what came in, then save again");
      return false;
    }
    if (clash_) return false;
    if (const std::optional<std::string> there = disk_.read(path); there && *there != model.saved_text) {
      model.notice = say("changed elsewhere, and what stands there is no job: it was not written over; save under another name (Ctrl Shift S)");
      return false;
    }
  }
  try {
    disk_.write(path, model.history.now().text);
  } catch (const std::exception& error) {
    model.notice = say("not saved: {}; your work stands, and Ctrl Shift S saves it elsewhere", error.what());
    return false;
  }
  drop();
  failing_ = gone_ = unreadable_ = false;
  model.path = path;
  model.saved_text = model.history.now().text;
  stamp_ = disk_.stamp(path);
  model.notice = say("{} written", path);
  return true;
}

}  // namespace rakelight
