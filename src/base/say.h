// Words as data: what the program says stands in English in the code and in other languages in assets/languages, as
// English template = translation. Numbers stay as they are written in job files: with a point, whatever the language.
#pragma once
#include <fmt/format.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {

/// The template in the language that is chosen; the English one where that has no word for it. From any thread. The view
/// stays good to the end of the program if `english` does.
std::string_view phrase(std::string_view english);

/// The words of a template filled in, in the language that is chosen. fmt's syntax, checked against the arguments when this
/// is compiled; a translation is taken only when its places are the same (see same_places).
template <class... Args>
std::string say(fmt::format_string<Args...> english, Args&&... args) {
  const fmt::string_view text = english;
  return fmt::vformat(fmt::string_view(phrase({text.data(), text.size()})), fmt::make_format_args(args...));
}

/// Marks a template in a table, so that the languages must have it; it is looked up by phrase() when it is shown.
constexpr const char* later(const char* english) { return english; }

struct Language {
  std::string code;   ///< ISO 639-1: "en", "de"
  std::string name;   ///< in itself: "Deutsch"
};
/// English, then those of assets/languages by code.
std::vector<Language> languages();
/// The code of the language that is chosen; "en" until another is.
std::string_view language();
/// For all that is said from now on. False when there is no such language; then nothing changes.
bool choose_language(std::string_view code);
/// The language that the environment asks for: LC_ALL, else LC_MESSAGES, else LANG ("de_AT.UTF-8" is "de"); "en" when that is none of ours.
std::string language_of_environment();

/// The phrases of a language as pairs of template and translation; empty when there is no such language.
std::vector<std::pair<std::string, std::string>> phrases_of(std::string_view code);
/// The places of a template in fmt's syntax as "index:spec", in order of index; empty when it is no sound template.
std::optional<std::vector<std::string>> places_of(std::string_view text);
/// Whether a translation fills in what the English one does: every place once or more, each as its spec says.
bool same_places(std::string_view english, std::string_view translation);

}  // namespace rakelight
