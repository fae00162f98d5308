// main() of the tests, and the rows of support/validated.h.
#define CATCH_CONFIG_MAIN
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <exception>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <map>
#include <unistd.h>
#include <utility>

#include "support/validated.h"

namespace {

struct Row { std::string check, against, figure, limit; };

/// Of this run, by check: of the usual cases and of the [long] ones.
std::map<std::string, Row> rows[2];
bool in_long_case = false;

/// A cell: one line, no tabs.
std::string cell(std::string text) {
  std::replace_if(text.begin(), text.end(), [](char c) { return c == '\t' || c == '\n' || c == '\r'; }, ' ');
  return text;
}

void write_rows(const std::filesystem::path& path, bool anew, std::map<std::string, Row> found) {
  if (found.empty()) {
    std::error_code none;
    if (anew) std::filesystem::remove(path, none);
    return;
  }
  bool part = false;
  if (!anew) {
    // a program that was never run whole says so, because rows are missing
    std::ifstream before(path);
    part = !before || before.peek() == '#';
    for (std::string line; std::getline(before, line);) {
      std::vector<std::string> cells(1);
      for (const char c : line)
        if (c == '\t') cells.emplace_back();
        else cells.back() += c;
      if (cells.size() == 4) found.try_emplace(cells[0], Row{cells[0], cells[1], cells[2], cells[3]});
    }
  }
  std::filesystem::create_directories(path.parent_path());
  std::filesystem::path beside = path;
  beside += fmt::format(".{}", getpid());
  {
    std::ofstream out(beside);
    if (part) out << "# part\n";
    for (const auto& [check, row] : found) out << row.check << '\t' << row.against << '\t' << row.figure << '\t' << row.limit << '\n';
  }
  std::filesystem::rename(beside, path);
}

struct Listener : Catch::TestEventListenerBase {
  using TestEventListenerBase::TestEventListenerBase;
  void testCaseStarting(const Catch::TestCaseInfo& info) override {
    in_long_case = std::find(info.lcaseTags.begin(), info.lcaseTags.end(), "long") != info.lcaseTags.end();
  }
  void testCaseEnded(const Catch::TestCaseStats& stats) override {
    const auto& met = stats.totals.assertions;
    for (auto& [check, row] : rows[in_long_case])
      if (row.figure.empty()) row.figure = met.allPassed() ? fmt::format("all {} assertions hold", met.passed) : fmt::format("{} of {} assertions fail", met.failed, met.total());
  }
  void testRunEnded(const Catch::TestRunStats&) override {
    const std::string program = std::filesystem::path(m_config->name()).filename().string();
    // as ctest calls it (tests/CMakeLists.txt)
    const std::vector<std::string>& asked = m_config->getTestsOrTags();
    const bool whole[] = {asked == std::vector<std::string>{"~[long]~[.]"}, asked == std::vector<std::string>{"[long]"}};
    const std::filesystem::path folder = std::filesystem::path(RAKELIGHT_BUILD_DIR) / "validation";
    for (const int kind : {0, 1}) write_rows(folder / (program + (kind ? "_long.tsv" : ".tsv")), whole[kind], rows[kind]);
  }
};
CATCH_REGISTER_LISTENER(Listener)

}  // namespace

namespace test {

Validated::Validated(std::string check, std::string against, std::string limit, std::string unit, double scale)
    : check_(cell(std::move(check))), against_(cell(std::move(against))), limit_(cell(std::move(limit))), unit_(std::move(unit)), scale_(scale) {}

Validated::~Validated() {
  if (std::uncaught_exceptions() > 0) return;  // a test that broke off has found nothing
  if (figure_.empty() && count_ > 0) figure_ = fmt::format("{:.2g}{} at most{}", scale_ * most_, unit_, count_ > 1 ? fmt::format(", {} values", count_) : "");
  rows[in_long_case][check_] = {check_, against_, cell(figure_), limit_};
}

double Validated::off(double deviation) {
  ++count_;
  // what is not a number is worse than any number
  if (!std::isnan(most_) && !(std::abs(deviation) <= most_)) most_ = std::abs(deviation);
  return std::abs(deviation);
}
double Validated::near(double value, double expected) {
  off(value - expected);
  return value;
}
double Validated::share(double value, double expected) {
  off(value / expected - 1);
  return value;
}
void Validated::says(std::string figure) { figure_ = std::move(figure); }

}  // namespace test
