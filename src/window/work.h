// What takes time, done beside the window: a job's study, findings, advice and year, for one job or a pair.
#pragma once
#include <chrono>
#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "advice/counsel.h"
#include "advice/way_round.h"
#include "assess/assess.h"
#include "assess/year.h"
#include "base/loader.h"
#include "base/stop.h"
#include "board/plan.h"
#include "job/read.h"

namespace rakelight {

struct YearFound {
  Year year;
  std::vector<LampsAlone> lamps;
};

/// A way of laying whose joints were looked at in full.
struct WayLooked { WayOption option; Plan plan; SurfaceResult judged; };

/// Ways of laying one face: what the search found, and the best of each direction that was searched, horizontal first.
struct WaysFound {
  std::string surface;
  FaceWays ways;
  std::vector<WayLooked> looked;
};

/// What came of a job's text so far. A value: as stages end, a fuller one takes its place.
struct Found {
  std::string text;
  long generation = 0;                       ///< of the files on the disk that it was made with
  bool draft = false;                        ///< coarse light, while something is dragged
  Diagnostics diagnostics;
  std::string trouble;                       ///< of the environment, not of the job
  std::shared_ptr<const Study> study;        ///< null while it is made, and when the job has errors
  std::shared_ptr<const LightBasis> fields;  ///< for pictures
  std::shared_ptr<const Assessment> assessment;
  std::shared_ptr<const Advice> advice;
  std::shared_ptr<const Counsel> counsel;    ///< once it was asked for
  std::shared_ptr<const YearFound> year;
  std::shared_ptr<const WaysFound> ways;     ///< once they were asked for, of the face they were asked for
  bool broken() const { return !diagnostics.ok() || !trouble.empty(); }
};

/// A time and a place to stand, which need not be among the job's.
struct Stand {
  MomentSpec moment;
  std::string viewer;
  dvec3 eye{0};
  std::string only_surface;                  ///< of an inspection; "" = judges all
  std::string key() const;                   ///< the same for the same stand
};

/// Every joint from there and then.
struct HereFound {
  std::string text, stand;                   ///< whose, and Stand::key
  std::optional<Moment> moment;
  std::string trouble;                       ///< why there is no such time
  std::vector<SurfaceResult> surfaces;
};

/// Where nothing has a date.
inline constexpr int usual_year = 2026;

struct Asked {
  std::string left;
  std::optional<std::string> right;
  Loader loader;                             ///< files that the job names
  long generation = 0;                       ///< another one: those files may have changed, so nothing found before holds
  bool draft = false;
  std::optional<Stand> stand;
  int year_sky = clear_type, year = usual_year;
  bool counsel = false;                      ///< the least work is wanted too
  std::string ways;                          ///< a face whose ways of laying are wanted too; "" = none
};

class Work {
 public:
  /// `ready` is called from other threads whenever there is something new.
  explicit Work(std::function<void()> ready);
  ~Work();
  Work(const Work&) = delete;
  Work& operator=(const Work&) = delete;

  /// What is wanted from now on; what nobody wants any more is given up.
  void ask(const Asked& asked);

  struct State {
    std::shared_ptr<const Found> left, right;          ///< null until there is something
    std::shared_ptr<const HereFound> left_here, right_here;
    std::string doing, also_doing;                     ///< templates of words for what goes on; "" = nothing
    bool idle() const { return doing.empty() && also_doing.empty(); }
  };
  State state() const;

 private:
  struct Bases { std::string key; std::shared_ptr<const LightBasis> plain, fields; };

  void run(bool slow);
  bool next_quick(std::unique_lock<std::mutex>& lock);
  bool next_slow(std::unique_lock<std::mutex>& lock);
  std::shared_ptr<const Found> known(const std::string& text, bool draft) const;
  void keep(std::shared_ptr<const Found> found);
  std::shared_ptr<const HereFound> known_here(const std::string& text) const;
  Found study_of(const std::string& text, const Asked& asked);
  /// Runs without the lock; false when it was given up, or failed: then the job `text` bears the trouble.
  template <class Stage>
  bool stage(std::unique_lock<std::mutex>& lock, const std::string& text, std::string& doing, std::shared_ptr<Stop>& stop, const std::string& words, Stage&& work);

  std::function<void()> ready_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  bool over_ = false;
  Asked asked_;
  std::deque<std::shared_ptr<const Found>> found_;      ///< most recent first
  std::deque<std::shared_ptr<const HereFound>> here_;
  std::string doing_, also_doing_;
  std::shared_ptr<Stop> quick_stop_, slow_stop_;        ///< of the stage that runs
  bool in_study_ = false;                               ///< the quick thread makes a study
  std::vector<Bases> bases_;                            ///< only touched by the quick thread
  std::thread quick_, slow_;
};

}  // namespace rakelight
