// Words and tables that several reports share.
#pragma once
#include <string>
#include <vector>

#include "job/job.h"
#include "sight/sight.h"

namespace rakelight {

/// Visibility never claims three digits: its uncertainty is a factor.
std::string two_digits(double visibility);
std::string band_text(const Judged& judged);
/// How hard a raking ratio rakes: light, medium, hard, severe.
std::string raking_word(double ratio);
/// Columns padded to the widest cell; the first row is the heading. What the cells say of lengths is said in `units` (in_units.h).
std::string table(std::vector<std::vector<std::string>> rows, const std::string& indent, bool colour, Units units = Units::millimetre);

}  // namespace rakelight
