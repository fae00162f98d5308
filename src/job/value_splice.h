// A written value made another by as few splices as do it: what stays is left as it is spelled, and every comment within lives.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "job/tree.h"

namespace rakelight {

/// The value in one spelling, whatever blanks, line ends, comments and order of keys it is written with: two values say the
/// same if this is the same. `text`: in which the node stands.
std::string canonical(const TomlNode& node, std::string_view text);

/// The comments within a span that neither begins nor ends inside a text value: each from its # to the end of its line.
std::vector<std::string> comments_in(std::string_view text, Span at);

/// Where the line that holds `at` begins; behind a byte order mark.
std::size_t line_begin(std::string_view text, std::size_t at);

/// "\r\n" for a text that has such line ends, else "\n".
std::string newline_of(std::string_view text);

/// The text with the value at `node`, which is written as a value, made `value` (one TOML value). Lists and inline tables are
/// changed item by item; comments of a part that goes stand on lines of their own before the line where the value begins.
std::string with_value(const std::string& text, const TomlNode& node, std::string_view value);

/// Comments as lines of their own with this indent, to stand before another line.
std::string comment_lines(const std::vector<std::string>& comments, std::string_view indent, std::string_view newline);

/// An item of { … } or [ … ] with one of the commas beside it.
Span with_comma(std::string_view text, Span at);

}  // namespace rakelight
