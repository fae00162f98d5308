// Feeds a target with damaged inputs where libFuzzer is not at hand: files of a corpus, changed by a generator with a fixed
// seed, so that a run can be repeated. Usage: fuzz_NAME [--runs N] [--seed S] [--rows FOLDER] FILE_OR_FOLDER…
// With --rows a row for docs/validation.md is left there (tests/support/validated.h).
// An input that crashes or takes more than 20 s is left as fuzz_NAME.found in the working folder.
#include <algorithm>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <unistd.h>
#include <vector>

#include "base/random.h"
#include "fuzz/targets/target.h"

namespace {

using rakelight::Random;

std::string current, found_name;

extern "C" void leave_input(int signal_number) {
  // only what may be called from a signal handler
  if (std::FILE* out = std::fopen(found_name.c_str(), "wb")) {
    std::fwrite(current.data(), 1, current.size(), out);
    std::fclose(out);
  }
  const char* what = signal_number == SIGALRM ? "too slow" : "crashed";
  [[maybe_unused]] const auto written = write(2, what, std::strlen(what));
  _exit(1);
}

std::size_t pick(Random& random, std::size_t n) { return n == 0 ? 0 : random.next() % n; }

const std::vector<std::string> numbers{"0", "-0", "1", "-1", "1.5", "90", "180", "270", "360", "1e9", "1e308", "-1e308", "1e-320", "nan", "inf", "0x10",
                                       "99999999999999999999", "2147483648", "-2147483649", "1e", ".", "1,5", "1.0.0", "+3", "1e99999"};
const std::vector<std::string> pieces{"\n", "\r\n", "\r", " ", "\t", ",", ";", "=", "\"", "'", "#", "[", "]", "{", "}", "\xff", "\xc3", "\xef\xbb\xbf", "\x1a", std::string(1, '\0')};

bool digit(char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == ','; }

/// One number of the text for another.
void replace_number(std::string& text, Random& random) {
  std::size_t at = pick(random, text.size() + 1);
  while (at < text.size() && !digit(text[at])) ++at;
  std::size_t end = at;
  while (end < text.size() && digit(text[end])) ++end;
  if (end > at) text.replace(at, end - at, numbers[pick(random, numbers.size())]);
}

void remove_line(std::string& text, Random& random) {
  const std::size_t at = pick(random, text.size() + 1), end = text.find('\n', at);
  if (end == std::string::npos) return;
  const std::size_t next = std::min(text.find('\n', end + 1), text.size() - 1);
  text.erase(end, next - end);
}

std::string mutated(const std::vector<std::string>& corpus, Random& random) {
  std::string text = corpus[pick(random, corpus.size())];
  const std::size_t edits = 1 + pick(random, 5);
  for (std::size_t i = 0; i < edits; ++i) {
    const std::size_t at = pick(random, text.size() + 1);
    switch (pick(random, 10)) {
      case 0: text.insert(at, pieces[pick(random, pieces.size())]); break;
      case 1: text.erase(at, 1 + pick(random, 16)); break;
      case 2: if (at < text.size()) text[at] = static_cast<char>(random.next() & 0xffu); break;
      case 3: text.insert(at, text.substr(pick(random, text.size() + 1), pick(random, 200))); break;
      case 4: text.erase(at); break;
      case 5: case 6: replace_number(text, random); break;
      case 7: remove_line(text, random); break;
      case 8: {
        const std::string& other = corpus[pick(random, corpus.size())];
        text = text.substr(0, at) + other.substr(pick(random, other.size() + 1));
        break;
      }
      default: text.insert(at, numbers[pick(random, numbers.size())]);
    }
    if (text.size() > 65536) text.resize(65536);
  }
  return text;
}

void read_into(std::vector<std::string>& corpus, const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  corpus.emplace_back((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

void run(const std::string& text) {
  current = text;
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(current.data()), current.size());
}

void leave_row(const std::filesystem::path& folder, const std::string& program, long runs, std::size_t files) {
  std::filesystem::create_directories(folder);
  const std::filesystem::path path = folder / (program + ".tsv"), beside = folder / (program + ".tsv." + std::to_string(getpid()));
  std::ofstream(beside) << "reader of " << program.substr(5) << " files, damaged inputs\t" << files << " files of tests/fuzz/corpus, damaged by a fixed generator\t" << runs
                        << " inputs, no crash, no hang\tnone crashes, none takes 20 s; what is refused is told with its place\n";
  std::filesystem::rename(beside, path);
}

}  // namespace

int main(int argc, char** argv) {
  long runs = 1000;
  std::uint64_t seed = 1;
  std::vector<std::filesystem::path> paths;
  std::filesystem::path rows;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--runs" && i + 1 < argc) runs = std::strtol(argv[++i], nullptr, 10);
    else if (word == "--rows" && i + 1 < argc) rows = argv[++i];
    else if (word == "--seed" && i + 1 < argc) seed = std::strtoull(argv[++i], nullptr, 10);
    else paths.emplace_back(word);
  }
  std::vector<std::string> corpus;
  for (const auto& path : paths) {
    if (!std::filesystem::is_directory(path)) {
      read_into(corpus, path);
      continue;
    }
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(path))
      if (entry.is_regular_file()) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    for (const auto& file : files) read_into(corpus, file);
  }
  if (corpus.empty()) {
    std::fprintf(stderr, "usage: %s [--runs N] [--seed S] [--rows FOLDER] FILE_OR_FOLDER...\n", argv[0]);
    return 2;
  }
  found_name = std::filesystem::path(argv[0]).filename().string() + ".found";
  for (const int signal_number : {SIGSEGV, SIGABRT, SIGFPE, SIGBUS, SIGILL, SIGALRM}) std::signal(signal_number, leave_input);
  for (const std::string& text : corpus) run(text);
  run("");
  Random random(seed);
  for (long i = 0; i < runs; ++i) {
    if (i % 16 == 0) alarm(20);
    run(mutated(corpus, random));
  }
  alarm(0);
  if (!rows.empty()) leave_row(rows, std::filesystem::path(argv[0]).filename().string(), runs, corpus.size());
  std::printf("%ld inputs from %zu files, seed %llu\n", runs, corpus.size(), static_cast<unsigned long long>(seed));
  return 0;
}
