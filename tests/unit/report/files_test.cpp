// Writing files: whole or not at all, with plain words when it fails.
#include <catch2/catch.hpp>

#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "report/report.h"

namespace fs = std::filesystem;
using namespace rakelight;

namespace {

/// A folder of its own that goes with the test.
struct Folder {
  fs::path path;
  Folder() {
    std::string name = (fs::temp_directory_path() / ("rakelight-" + std::string(6, 'X'))).string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path = name;
  }
  ~Folder() { fs::remove_all(path); }
  std::string operator/(const char* name) const { return (path / name).string(); }
  std::size_t entries() const { return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), {})); }
};

std::string content(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

}  // namespace

TEST_CASE("a file is written whole, replaced whole, and nothing is left beside it") {
  Folder folder;
  const std::string path = folder / "a.bin";
  const std::string first("one\0two", 7);
  write_file(path, first);
  CHECK(content(path) == first);
  CHECK(::chmod(path.c_str(), 0640) == 0);
  write_file(path, "second");
  CHECK(content(path) == "second");
  struct stat now {};
  REQUIRE(::stat(path.c_str(), &now) == 0);
  CHECK((now.st_mode & 0777) == 0640);
  CHECK(folder.entries() == 1);
}

TEST_CASE("a file is read whole; what is no file is not read, and files are found beside the job") {
  Folder folder;
  const std::string long_one = std::string(200000, 'x') + std::string("\0end", 4);  // more than is read at once
  write_file(folder / "a.bin", long_one);
  write_file(folder / "empty", "");
  CHECK(read_bytes(folder / "a.bin") == long_one);
  CHECK(read_bytes(folder / "empty") == "");
  CHECK_FALSE(read_bytes(folder / "none"));
  CHECK_FALSE(read_bytes(folder.path.string()));
  CHECK(errno == EISDIR);
  const Loader loader = loader_beside(folder.path.string());
  CHECK(loader("a.bin") == long_one);
  fs::create_directory(folder.path / "lamps");
  CHECK_FALSE(loader("lamps"));
  CHECK_FALSE(loader("none.ies"));
}

TEST_CASE("a link stays a link and its file is replaced") {
  Folder folder;
  write_file(folder / "real.txt", "old");
  fs::create_symlink("real.txt", folder / "link.txt");
  write_file(folder / "link.txt", "new");
  CHECK(fs::is_symlink(folder / "link.txt"));
  CHECK(content(folder / "real.txt") == "new");
}

TEST_CASE("failures say why in plain words and leave the old file alone") {
  Folder folder;
  CHECK_THROWS_WITH(write_file(folder / "no/such/x.png", "x"), Catch::Contains("the folder does not exist"));
  CHECK_THROWS_WITH(write_file(folder.path.string(), "x"), Catch::Contains("it is a folder"));
  write_file(folder / "file", "x");
  CHECK_THROWS_WITH(write_file(folder / "file/x.png", "x"), Catch::Contains("a file, not a folder"));
  CHECK(folder.entries() == 1);
}

TEST_CASE("a full disk is an error, not a short file") {
  // /dev/full answers every write with "no space left": Linux, full(4)
  CHECK_THROWS_WITH(write_file("/dev/full", "some bytes"), Catch::Contains("/dev/full") && Catch::Contains("the disk is full"));
  CHECK(fs::is_character_file("/dev/full"));
}

TEST_CASE("what may not be written is refused") {
  if (::geteuid() == 0) {
    WARN("root may write anywhere: not checked");
    return;
  }
  Folder folder;
  write_file(folder / "kept.txt", "old");
  CHECK(::chmod((folder / "kept.txt").c_str(), 0444) == 0);
  CHECK_THROWS_WITH(write_file(folder / "kept.txt", "new"), Catch::Contains("permission denied"));
  CHECK(content(folder / "kept.txt") == "old");
}
