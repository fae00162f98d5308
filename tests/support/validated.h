// What the tests found, for docs/validation.md: every check there is a row that a test has written while it ran.
//
//   test::Validated found("glass", "Duffie & Beckman ch. 5, 14 angles", "half of the last digit printed, 5e-7");
//   CHECK(found.near(glass_transmittance(c), expected) < 5.1e-7);
//
// When it goes out of scope the row is kept; at the end of the run all rows of the program lie in build/validation/PROGRAM.tsv
// (rows of [long] cases in PROGRAM_long.tsv), from which tests/validation/make.py makes build/validation.md. A program run
// whole writes its file anew, so that rows of tests that are gone go with them; cases run by name replace their own rows only.
#pragma once
#include <string>

namespace test {

class Validated {
 public:
  /// check: what is checked, different from all others; against: the source outside; limit: what is allowed, in words or figures,
  /// with the unit. The figure is the greatest of what `off`, `near` and `share` were given, times `scale`, with `unit` behind
  /// it; of a row that was given nothing, how many assertions of its test case hold.
  Validated(std::string check, std::string against, std::string limit, std::string unit = "", double scale = 1);
  Validated(const Validated&) = delete;
  Validated& operator=(const Validated&) = delete;
  ~Validated();

  /// Takes a deviation, of either sign, and gives its size back.
  double off(double deviation);
  /// Takes |value − expected| and gives `value` back.
  double near(double value, double expected);
  /// Takes |value / expected − 1| and gives `value` back.
  double share(double value, double expected);
  /// The figure in words, in place of the greatest deviation.
  void says(std::string figure);

 private:
  std::string check_, against_, limit_, unit_, figure_;
  double scale_, most_ = 0;
  long count_ = 0;
};

}  // namespace test
