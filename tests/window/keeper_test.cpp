// Unsaved work is kept whatever happens; files that change, cannot be written or are broken cost nobody's work. Without a window.
#include <catch2/catch.hpp>

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fmt/format.h>
#include <stdexcept>
#include <thread>

#include "base/random.h"
#include "report/report.h"
#include "small_job.h"
#include "window/keeper.h"
#include "window/merge.h"

namespace rakelight {
namespace {

/// Edit number i of a script: always another title, so that every text tells its number; sometimes more.
std::vector<Edit> scripted(std::uint64_t seed, int i) {
  Random random(seed * 100003 + static_cast<std::uint64_t>(i));
  std::vector<Edit> edits{{"", "", "title", fmt::format("\"step {}\"", i)}};
  const double what = random.uniform();
  if (what < 0.3) edits.push_back({"room", "", "height", std::to_string(2400 + static_cast<int>(random.uniform() * 300))});
  else if (what < 0.6) edits.push_back({"window", "W1", "from_left", std::to_string(static_cast<int>(random.uniform() * 1500))});
  else if (what < 0.7) edits.push_back({"joint", "long/B1", "width", std::to_string(300 + static_cast<int>(random.uniform() * 400))});
  else if (what < 0.8) edits.push_back({"verdict", "", "age", std::to_string(20 + static_cast<int>(random.uniform() * 60))});
  return edits;
}

/// The job after `count` edits.
std::string after(std::uint64_t seed, int count) {
  Diagnostics diagnostics;
  JobText text(small_job);
  for (int i = 1; i <= count; ++i) text = with_edits(text, scripted(seed, i), diagnostics);
  if (!diagnostics.ok()) throw std::runtime_error("the script does not fit the job");
  return text.text();
}

int step_of(const std::string& text) {
  const auto at = text.find("title = \"step ");
  return at == text.npos ? 0 : std::atoi(text.c_str() + at + 14);
}

struct Record { char what; int step; };  // k: kept, s: about to save, S: saved

void put(int to, char what, int step) {
  const Record record{what, step};
  if (::write(to, &record, sizeof record) != static_cast<ssize_t>(sizeof record)) ::_exit(3);
}

struct Files {
  explicit Files(const std::string& name) : job(name), state((job.folder / "state").string()) { std::filesystem::create_directories(state); }
  JobFile job;
  std::string state;
  Model model() const { return Model(read_back(job.path()), job.path()); }
  std::string beside() const { return (job.folder / ".job.toml.unsaved").string(); }
};

void kill_at_random(int times, std::uint64_t seed) {
  Random random(seed);
  int offered = 0, saved_whole = 0;
  for (int run = 0; run < times; ++run) {
    const Files files(fmt::format("kill-{}", ::getpid()));
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const std::uint64_t script = seed + static_cast<std::uint64_t>(run);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      ::close(ends[0]);
      ::setenv("RAKELIGHT_KEEPER_JOB", files.job.path().c_str(), 1);
      ::setenv("RAKELIGHT_KEEPER_STATE", files.state.c_str(), 1);
      ::setenv("RAKELIGHT_KEEPER_SCRIPT", std::to_string(script).c_str(), 1);
      ::setenv("RAKELIGHT_KEEPER_TO", std::to_string(ends[1]).c_str(), 1);
      const int nowhere = ::open("/dev/null", O_WRONLY);
      ::dup2(nowhere, 1);
      ::execl("/proc/self/exe", "window_tests", "[.keeper-child]", static_cast<char*>(nullptr));
      ::_exit(4);
    }
    ::close(ends[1]);
    // killed somewhere within the steps after so many: how far it gets by then does not matter
    const int wait_for = static_cast<int>(random.uniform() * 40);
    const auto then = std::chrono::microseconds(static_cast<int>(random.uniform() * 6000));
    int last_kept = 0, saving = 0, saved = 0, records = 0;
    bool killed = false;
    Record record{};
    const auto slay = [&] {
      std::this_thread::sleep_for(then);
      ::kill(child, SIGKILL);
      killed = true;
    };
    while (::read(ends[0], &record, sizeof record) == static_cast<ssize_t>(sizeof record)) {
      if (record.what == 'k') last_kept = record.step;
      if (record.what == 's') saving = record.step;
      if (record.what == 'S') saved = record.step;
      if (++records > wait_for && !killed) slay();
    }
    ::close(ends[0]);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    INFO("run " << run << ": kept " << last_kept << ", saving " << saving << ", saved " << saved << ", status " << status);
    REQUIRE(killed);
    REQUIRE(WIFSIGNALED(status));

    const std::string disk = read_back(files.job.path());
    const int on_disk = step_of(disk);
    CHECK((on_disk == saved || on_disk == saving));
    CHECK(disk == after(script, on_disk));
    Diagnostics diagnostics;
    check_text(JobText(disk), {}, diagnostics);
    CHECK(diagnostics.ok());
    Model model = files.model();
    Keeper keeper(files.state);
    keeper.take_up(model);
    int latest = on_disk;
    if (keeper.offered()) {
      ++offered;
      CHECK(keeper.offered()->of_this);
      keeper.restore(model);
      latest = step_of(model.history.now().text);
      CHECK(model.history.now().text == after(script, latest));
      CHECK(latest > on_disk);
      model.undo();
      CHECK(model.history.now().text == disk);
    } else {
      ++saved_whole;
    }
    // nothing that was kept is lost, and no more is there than was begun
    CHECK(latest >= last_kept);
    CHECK(latest <= last_kept + 1);
    for (const auto& entry : std::filesystem::directory_iterator(files.job.folder)) {
      INFO(entry.path().string());
      CHECK((entry.path().filename() == "job.toml" || entry.path().filename() == "state" || entry.path().filename() == ".job.toml.unsaved"));
    }
  }
  CHECK(offered + saved_whole == times);
  CHECK(offered > 0);  // most steps are not saved: 4 of 5
}

/// Files grow to no more than so many bytes while it lives: a disk that is full.
struct FullDisk {
  explicit FullDisk(rlim_t most) {
    before_handler = ::signal(SIGXFSZ, SIG_IGN);
    ::getrlimit(RLIMIT_FSIZE, &before);
    rlimit now = before;
    now.rlim_cur = most;
    ::setrlimit(RLIMIT_FSIZE, &now);
  }
  ~FullDisk() {
    ::setrlimit(RLIMIT_FSIZE, &before);
    ::signal(SIGXFSZ, before_handler);
  }
  rlimit before{};
  void (*before_handler)(int) = nullptr;
};

}  // namespace

TEST_CASE("Edits and saves until it is killed", "[.keeper-child]") {
  const char* job = std::getenv("RAKELIGHT_KEEPER_JOB");
  REQUIRE(job);
  const std::uint64_t script = std::strtoull(std::getenv("RAKELIGHT_KEEPER_SCRIPT"), nullptr, 10);
  const int to = std::atoi(std::getenv("RAKELIGHT_KEEPER_TO"));
  Model model(read_back(job), job);
  Keeper keeper(std::getenv("RAKELIGHT_KEEPER_STATE"));
  keeper.take_up(model);
  for (int i = 1; i < 100000; ++i) {
    if (!model.edit(scripted(script, i))) ::_exit(5);
    keeper.look(model, 100.0 * i);
    keeper.keep(model, 100.0 * i);
    put(to, 'k', i);
    if (i % 5 != 0) continue;
    put(to, 's', i);
    if (!keeper.save(model, job)) ::_exit(6);
    put(to, 'S', i);
  }
}

TEST_CASE("Killed at ten random instants while editing and saving: the file is an old or new job, the rest is offered") { kill_at_random(10, 11); }
TEST_CASE("Killed at two hundred random instants while editing and saving", "[long]") { kill_at_random(200, 1000); }

TEST_CASE("Unsaved work is kept beside the job and goes when it is saved, undone or given up") {
  const Files files("keep");
  Model m = files.model();
  Keeper keeper(files.state);
  keeper.take_up(m);
  CHECK_FALSE(keeper.offered());
  keeper.keep(m, 0);
  CHECK_FALSE(std::filesystem::exists(files.beside()));
  REQUIRE(m.edit({{"room", "", "height", "2500"}}));
  keeper.keep(m, 100);
  const std::string mine = m.history.now().text;
  CHECK(read_back(files.beside()).find(mine) != std::string::npos);
  CHECK(read_back(files.job.path()) == small_job);
  m.undo();
  keeper.keep(m, 200);
  CHECK_FALSE(std::filesystem::exists(files.beside()));
  m.redo();
  keeper.keep(m, 300);
  CHECK(std::filesystem::exists(files.beside()));
  REQUIRE(keeper.save(m, files.job.path()));
  CHECK_FALSE(std::filesystem::exists(files.beside()));
  CHECK(read_back(files.job.path()) == mine);
  REQUIRE(m.edit({{"room", "", "height", "2600"}}));
  keeper.keep(m, 400);
  CHECK(std::filesystem::exists(files.beside()));
  keeper.give_up();
  CHECK_FALSE(std::filesystem::exists(files.beside()));
  // while something is dragged nothing is finished
  REQUIRE(m.attempt({{"room", "", "height", "2700"}}));
  keeper.keep(m, 500);
  CHECK_FALSE(std::filesystem::exists(files.beside()));
}

TEST_CASE("What is found is brought back as one step, thrown away, or offered again; never written over") {
  const Files files("found");
  std::string mine;
  {
    Model m = files.model();
    Keeper ended(files.state);
    ended.take_up(m);
    REQUIRE(m.edit({{"room", "", "height", "2500"}}));
    ended.keep(m, 0);
    mine = m.history.now().text;
  }
  {
    Model m = files.model();
    Keeper keeper(files.state);
    keeper.take_up(m);
    REQUIRE(keeper.offered());
    CHECK(keeper.offered()->text == mine);
    CHECK(keeper.offered()->of_this);
    // edited without an answer: kept apart from what is offered
    REQUIRE(m.edit({{"room", "", "height", "2700"}}));
    keeper.keep(m, 0);
    CHECK(read_back(files.beside()).find("height = 2500") != std::string::npos);
    CHECK(read_back(files.beside() + "2").find("height = 2700") != std::string::npos);
    m.undo();
    keeper.keep(m, 100);
    keeper.not_now();
  }
  {
    Model m = files.model();
    Keeper keeper(files.state);
    keeper.take_up(m);
    REQUIRE(keeper.offered());
    keeper.restore(m);
    CHECK_FALSE(keeper.offered());
    CHECK(m.history.now().text == mine);
    CHECK(m.changed());
    keeper.keep(m, 0);
    m.undo();
    CHECK(m.history.now().text == small_job);
  }
  // the file was changed since
  std::ofstream(files.job.path(), std::ios::binary) << std::string(small_job) + "# later\n";
  {
    Model m = files.model();
    Keeper keeper(files.state);
    keeper.take_up(m);
    REQUIRE(keeper.offered());
    CHECK_FALSE(keeper.offered()->of_this);
    keeper.discard(m);
    CHECK_FALSE(keeper.offered());
    CHECK_FALSE(std::filesystem::exists(files.beside()));
  }
  // half a file is never offered
  std::ofstream(files.beside(), std::ios::binary) << "# Unsaved work of job.toml; it\n# process 1\n# begun";
  Model m = files.model();
  Keeper keeper(files.state);
  keeper.take_up(m);
  CHECK_FALSE(keeper.offered());
}

TEST_CASE("A job without a file is kept in the state folder") {
  const Files files("new-kept");
  Model m{small_job};
  Keeper keeper(files.state);
  keeper.take_up(m);
  REQUIRE(m.edit({{"room", "", "height", "2500"}}));
  keeper.keep(m, 0);
  Model again{small_job};
  Keeper next(files.state);
  next.take_up(again);
  REQUIRE(next.offered());
  CHECK(next.offered()->text == m.history.now().text);
}

TEST_CASE("What others write is taken, merged or asked about") {
  const Files files("others");
  Model m = files.model();
  Keeper keeper(files.state);
  keeper.take_up(m);
  const auto elsewhere = [&](const std::string& text) { std::ofstream(files.job.path(), std::ios::binary) << text; };
  CHECK_FALSE(keeper.look(m));
  // nothing unsaved here: taken
  std::string theirs = small_job;
  theirs.replace(theirs.find("north = 293"), 11, "north = 290");
  elsewhere(theirs);
  CHECK(keeper.look(m));
  CHECK(m.history.now().text == theirs);
  CHECK_FALSE(m.changed());
  // different places: both, with every comment
  REQUIRE(m.edit({{"room", "", "height", "2500"}}));
  std::string more = theirs;
  more.replace(more.find("sill = 800"), 10, "sill = 850   # measured");
  elsewhere(more);
  CHECK(keeper.look(m));
  std::string both = more;
  both.replace(both.find("height = 2400"), 13, "height = 2500");
  CHECK(m.history.now().text == both);
  CHECK(m.changed());
  m.undo();
  CHECK(m.history.now().text.find("height = 2500") != std::string::npos);
  CHECK(m.history.now().text.find("sill = 800") != std::string::npos);
  m.redo();
  // half a job: left alone until it is whole
  elsewhere(both.substr(0, both.size() / 2) + "[");
  CHECK_FALSE(keeper.look(m));
  CHECK(m.history.now().text == both);
  CHECK_FALSE(keeper.clash());
  CHECK_FALSE(keeper.save(m, files.job.path()));
  CHECK(read_back(files.job.path()).ends_with("["));
  // the same line: asked
  std::string third = more;
  third.replace(third.find("height = 2400"), 13, "height = 2600");
  elsewhere(third);
  CHECK_FALSE(keeper.look(m));
  REQUIRE(keeper.clash());
  CHECK(*keeper.clash() == third);
  CHECK_FALSE(keeper.save(m, files.job.path()));
  CHECK(read_back(files.job.path()) == third);
  keeper.take_theirs(m);
  CHECK(m.history.now().text == third);
  CHECK_FALSE(m.changed());
  m.undo();
  CHECK(m.history.now().text == both);
  // and the other answer
  elsewhere(more);
  CHECK_FALSE(keeper.look(m));
  REQUIRE(keeper.clash());
  keeper.keep_mine(m);
  CHECK(keeper.save(m, files.job.path()));
  CHECK(read_back(files.job.path()) == both);
  // gone, and written again
  std::filesystem::remove(files.job.path());
  CHECK_FALSE(keeper.look(m));
  CHECK(m.notice.find("no longer there") != std::string::npos);
  CHECK(m.changed());
  CHECK(keeper.save(m, files.job.path()));
  CHECK(read_back(files.job.path()) == both);
}

TEST_CASE("The file is looked at once a second and no more") {
  const Files files("second");
  Model m = files.model();
  int looks = 0;
  Disk disk;
  const auto stamp = disk.stamp;
  disk.stamp = [&](const std::string& path) {
    ++looks;
    return stamp(path);
  };
  Keeper keeper(files.state, disk);
  keeper.take_up(m);
  looks = 0;
  for (int i = 0; i < 100; ++i) keeper.look(m, 10 + 0.05 * i);  // 4.95 s
  CHECK(looks == 5);
}

TEST_CASE("A full disk and a folder that cannot be written to are survived: the work stays, and why is said") {
  const Files files("full");
  Model m = files.model();
  Keeper keeper(files.state);
  keeper.take_up(m);
  REQUIRE(m.edit({{"room", "", "height", "2500"}}));
  const std::string mine = m.history.now().text;
  {
    const FullDisk full(64);
    keeper.keep(m, 0);
    CHECK(m.notice.find("unsaved work cannot be kept safe") == 0);
    CHECK_FALSE(keeper.save(m, files.job.path()));
    CHECK(m.notice.find("not saved: ") == 0);
    CHECK(m.notice.find("your work stands") != std::string::npos);
  }
  CHECK(read_back(files.job.path()) == small_job);
  CHECK(m.history.now().text == mine);
  CHECK(m.changed());
  keeper.keep(m, 100);  // there is room again
  CHECK(read_back(files.beside()).find(mine) != std::string::npos);
  // no room any more for the next edit: what was kept before stands
  REQUIRE(m.edit({{"room", "", "height", "2600"}}));
  {
    const FullDisk full(64);
    keeper.keep(m, 200);
  }
  CHECK(read_back(files.beside()).find(mine) != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(files.beside() + "2"));  // nothing is left of what failed
  CHECK(keeper.save(m, files.job.path()));
  CHECK(read_back(files.job.path()) == m.history.now().text);
  CHECK_FALSE(std::filesystem::exists(files.beside()));

  // a folder that may only be read; as root nothing is forbidden, so somebody else tries
  REQUIRE(m.edit({{"room", "", "height", "2700"}}));
  std::filesystem::permissions(files.state, std::filesystem::perms::all);
  std::filesystem::permissions(files.job.folder, static_cast<std::filesystem::perms>(0555));
  const bool root = ::geteuid() == 0;
  if (root) REQUIRE(::seteuid(65534) == 0);
  keeper.keep(m, 300);
  const bool saved = keeper.save(m, files.job.path());
  const std::string notice = m.notice;
  if (root) REQUIRE(::seteuid(0) == 0);
  std::filesystem::permissions(files.job.folder, std::filesystem::perms::owner_all);
  INFO(notice);
  CHECK_FALSE(saved);
  CHECK(notice.find("permission denied") != std::string::npos);
  CHECK(notice.find("Ctrl Shift S saves it elsewhere") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(files.beside()));
  // kept in the state folder instead, and found there
  Model again = files.model();
  Keeper next(files.state);
  next.take_up(again);
  REQUIRE(next.offered());
  CHECK(next.offered()->text == m.history.now().text);
}

TEST_CASE("Two changes of one text, line by line") {
  const std::string base = "a\nb\nc\nd\ne\n";
  CHECK(merged(base, "a\nB\nc\nd\ne\n", "a\nb\nc\nD\ne\nf\n") == "a\nB\nc\nD\ne\nf\n");
  CHECK(merged(base, "a\nB\nc\nd\ne\n", "a\nB\nc\nd\ne\n") == "a\nB\nc\nd\ne\n");      // the same change
  CHECK(merged(base, "a\nB\nc\nd\ne\n", "a\nb\nC\nd\ne\n") == "a\nB\nC\nd\ne\n");      // neighbours
  CHECK(merged(base, "a\nx\nb\nc\nd\ne\n", "a\nB\nc\nd\ne\n") == "a\nx\nB\nc\nd\ne\n");  // added before a line that is changed
  CHECK(merged(base, "b\nc\nd\ne\n", "a\nb\nc\nd\n") == "b\nc\nd\n");                // taken out at both ends
  CHECK_FALSE(merged(base, "a\nX\nc\nd\ne\n", "a\nY\nc\nd\ne\n"));                   // the same line
  CHECK_FALSE(merged(base, base + "x\n", base + "y\n"));                             // added at the same place
  CHECK_FALSE(merged(base, "a\ne\n", "a\nb\nc\nx\nd\ne\n"));                         // added within what is taken out
  CHECK(merged(base, base, "q\n") == "q\n");
  CHECK(merged("", "", "q\n") == "q\n");
  CHECK(merged("a", "a", "a\nb") == "a\nb");
  const std::vector<LineSaid> said = difference("a\nb\nc\n", "a\nB\nc\nd\n");
  REQUIRE(said.size() == 3);
  CHECK((!said[0].second && said[0].number == 2 && said[0].text == "b"));
  CHECK((said[1].second && said[1].number == 2 && said[1].text == "B"));
  CHECK((said[2].second && said[2].number == 4 && said[2].text == "d"));
}

TEST_CASE("Merging with a text that nobody changed gives the other, of random texts") {
  Random random(5);
  const auto line = [&] { return std::string(1, static_cast<char>('a' + static_cast<int>(random.uniform() * 4))) + "\n"; };
  for (int i = 0; i < 300; ++i) {
    std::string base, other;
    for (int k = static_cast<int>(random.uniform() * 12); k > 0; --k) base += line();
    for (const std::string_view l : lines_of(base)) {
      if (random.uniform() < 0.2) other += line();
      if (random.uniform() < 0.8) other += l;
    }
    REQUIRE(merged(base, other, base) == other);
    REQUIRE(merged(base, base, other) == other);
    REQUIRE(merged(base, other, other) == other);
    std::string made;
    std::size_t at = 0;
    const auto b = lines_of(base), o = lines_of(other);
    for (const LineChange& c : line_changes(base, other)) {
      for (; at < c.from; ++at) made += b[at];
      for (std::size_t k = c.other_from; k < c.other_to; ++k) made += o[k];
      at = c.to;
    }
    for (; at < b.size(); ++at) made += b[at];
    REQUIRE(made == other);
  }
}

}  // namespace rakelight
