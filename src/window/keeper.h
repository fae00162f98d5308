// Keeps a job's unsaved work safe on the disk, and its file in step with what others write into it.
//
// Work that is not saved stands in a file of its own beside the job, ".home.toml.unsaved", written beside and renamed after
// every finished edit and removed by saving. So whenever the program ends, the job's file holds what was saved last and the
// other one what came after it. Where the job's folder cannot be written to, it goes to the state folder instead. No drawing,
// no threads.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "window/model.h"

namespace rakelight {

/// The disk as the keeper reaches it. A test may hand in one that is full.
struct Disk {
  std::function<std::optional<std::string>(const std::string& path)> read;                ///< empty when it cannot be read
  std::function<void(const std::string& path, const std::string& bytes)> write;           ///< whole or not at all; throws std::runtime_error
  std::function<void(const std::string& path)> remove;                                    ///< no error when it is not there
  std::function<std::string(const std::string& path)> stamp;                              ///< changes whenever the file does; "" = no file
  Disk();
};

/// Unsaved work that was found.
struct Kept {
  std::string text;            ///< the job as it was left
  std::string file;            ///< where it stands
  bool of_this = true;         ///< it was made from the very text that the job's file holds
};

class Keeper {
 public:
  /// `state_folder`: for jobs that have no file yet and folders that cannot be written to; "" = nowhere.
  explicit Keeper(std::string state_folder, Disk disk = {}) : state_(std::move(state_folder)), disk_(std::move(disk)) {}

  /// Another job is worked on: looks for unsaved work of it whose program is gone.
  void take_up(const Model& model);
  /// What was found and not answered yet.
  const std::optional<Kept>& offered() const { return offered_; }
  /// Makes what is offered the job, as one undo step over what the file says.
  void restore(Model& model);
  /// Removes what is offered.
  void discard(const Model& model);
  /// Leaves what is offered where it is: it will be offered again.
  void not_now() { offered_.reset(); }

  /// To be called often. Writes the unsaved work down when a finished edit changed it, removes it when there is none. `now`: s,
  /// counting up. On a slow disk it writes less often: at most a twentieth of the time. What cannot be kept is said once.
  void keep(Model& model, double now);
  /// The work that is not saved is given up.
  void give_up();

  /// To be called often; looks at the file at most once a second, or at once when `now` is empty. What others wrote is taken
  /// when nothing is unsaved, merged when the changes do not touch the same lines and the job stays sound, else asked about.
  /// Returns whether the model changed.
  bool look(Model& model, std::optional<double> now = std::nullopt);
  /// What the file holds now, when it cannot be brought together with what is unsaved.
  const std::optional<std::string>& clash() const { return clash_; }
  /// One's own text stays; saving then writes it over what the others wrote.
  void keep_mine(Model& model);
  /// The others' text, as one undo step.
  void take_theirs(Model& model);

  /// Writes the job to `path`, unless others changed it there. Returns whether it is written; if not the notice says why, and
  /// the work stays as it is.
  bool save(Model& model, const std::string& path);

 private:
  std::string place(const std::string& job, int number, bool in_state) const;
  std::optional<Kept> find(const Model& model) const;
  void drop();

  std::string state_;
  Disk disk_;
  std::optional<Kept> offered_;
  std::optional<std::string> clash_;
  std::string mine_;                   ///< the file that this keeper writes; "" = none yet
  std::string kept_;                   ///< the text that stands there
  bool failing_ = false;
  double next_keep_ = -1, next_look_ = -1;
  std::string stamp_;                  ///< of the job's file when it was last looked at
  bool gone_ = false, unreadable_ = false;
};

}  // namespace rakelight
