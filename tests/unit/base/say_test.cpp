// Languages: every phrase that the sources say is in every file of assets/languages, and none that nobody says.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>

#include "base/say.h"

using namespace rakelight;

namespace {

bool part_of_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '_'; }

/// The templates of `name("…"` in a source, with what stands in them, neighbouring literals joined; empty ones are calls
/// whose first argument is no literal.
std::vector<std::string> templates_in(const std::string& source, const std::string& name) {
  std::vector<std::string> out;
  for (std::size_t at = source.find(name + "("); at != std::string::npos; at = source.find(name + "(", at + 1)) {
    if (at > 0 && (part_of_name(source[at - 1]) || source[at - 1] == '.')) continue;
    std::size_t i = at + name.size() + 1;
    std::string text;
    while (true) {
      while (i < source.size() && std::isspace(static_cast<unsigned char>(source[i]))) ++i;
      if (i >= source.size() || source[i] != '"') break;
      for (++i; i < source.size() && source[i] != '"'; ++i) {
        if (source[i] == '\\') {
          ++i;
          REQUIRE((source[i] == '"' || source[i] == '\\'));  // no other escape is in use
        }
        text += source[i];
      }
      ++i;
    }
    out.push_back(text);
  }
  return out;
}

/// What the program says, and the file that says it.
std::map<std::string, std::string> said_in_sources() {
  std::map<std::string, std::string> out;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(RAKELIGHT_SOURCE_DIR "/src")) {
    const std::string path = entry.path().string();
    if ((entry.path().extension() != ".cpp" && entry.path().extension() != ".h") || path.ends_with("base/say.h") || path.ends_with("base/say.cpp")) continue;
    std::ifstream in(path, std::ios::binary);
    const std::string source((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    // elsewhere the word may mean something else; the window has it by its view.h
    if (source.find("base/say.h") == std::string::npos && path.find("/src/window/") == std::string::npos) continue;
    for (const char* name : {"say", "later"})
      for (const std::string& text : templates_in(source, name)) {
        INFO(path << " has a " << name << "() whose words are no literal");
        CHECK_FALSE(text.empty());
        out.emplace(text, path);
      }
  }
  return out;
}

}  // namespace

TEST_CASE("every language has every phrase that the program says, and no other; each fills in the same") {
  const auto said = said_in_sources();
  CHECK(said.size() > 20);
  for (const Language& l : languages()) {
    if (l.code == "en") continue;
    CHECK_FALSE(l.name.empty());
    CHECK(l.name != l.code);
    std::set<std::string> has;
    for (const auto& [english, translation] : phrases_of(l.code)) {
      has.insert(english);
      INFO(l.code << ": \"" << english << "\" = \"" << translation << "\"");
      CHECK(said.count(english) == 1);
      CHECK_FALSE(translation.empty());
      CHECK(same_places(english, translation));
    }
    for (const auto& [english, path] : said) {
      INFO(l.code << " has no \"" << english << "\" of " << path);
      CHECK(has.count(english) == 1);
    }
  }
}

TEST_CASE("the scan of the sources would find what is missing") {
  CHECK(templates_in("x = say(\"one {}\", 1) + say(\n  \"two \"\n  \"\\\"three\\\"\");", "say") == std::vector<std::string>{"one {}", "two \"three\""});
  CHECK(templates_in("essay(\"no\"); s.say(\"no\"); say(words)", "say") == std::vector<std::string>{""});
}

TEST_CASE("the places of a template: numbered or in order, each with its spec") {
  CHECK(places_of("{} of {:.0f} mm") == std::vector<std::string>{"0:", "1:.0f"});
  CHECK(places_of("{1:.0f} mm von {0}") == std::vector<std::string>{"0:", "1:.0f"});
  CHECK(places_of("{{no place}}") == std::vector<std::string>{});
  CHECK_FALSE(places_of("{0} and {}"));
  CHECK_FALSE(places_of("{"));
  CHECK_FALSE(places_of("}"));
  CHECK_FALSE(places_of("{:{}}"));
  CHECK(same_places("{} of {:.1f}", "{1:.1f}: {0}, {0}"));
  CHECK_FALSE(same_places("{} of {:.1f}", "{} von {}"));
  CHECK_FALSE(same_places("{}", "{} {}"));
  CHECK_FALSE(same_places("all {}", "alle"));
}

TEST_CASE("a language is chosen by its code, and what it lacks is said in English") {
  REQUIRE(languages().size() >= 2);
  CHECK(languages()[0].code == "en");
  CHECK(language() == "en");
  CHECK(say("Undo") == "Undo");
  REQUIRE(choose_language("de"));
  CHECK(language() == "de");
  CHECK(say("Undo") == "Rückgängig");
  CHECK(say("no language has {} of this", 1) == "no language has 1 of this");
  CHECK_FALSE(choose_language("xx"));
  CHECK(language() == "de");
  CHECK(choose_language("en"));
  CHECK(say("Undo") == "Undo");
}

TEST_CASE("the environment's language is taken when there is a file of it") {
  const auto with = [](const char* all, const char* messages, const char* lang) {
    for (const auto& [name, value] : {std::pair("LC_ALL", all), std::pair("LC_MESSAGES", messages), std::pair("LANG", lang)})
      if (value) setenv(name, value, 1);
      else unsetenv(name);
    return language_of_environment();
  };
  CHECK(with(nullptr, nullptr, nullptr) == "en");
  CHECK(with(nullptr, nullptr, "de_AT.UTF-8") == "de");
  CHECK(with(nullptr, nullptr, "de") == "de");
  CHECK(with("", "", "de_DE@euro") == "de");
  CHECK(with(nullptr, "C", "de_DE.UTF-8") == "en");
  CHECK(with("de_DE.UTF-8", "C", "C") == "de");
  CHECK(with(nullptr, nullptr, "xx_YY.UTF-8") == "en");
  CHECK(with(nullptr, nullptr, "../schemes/q") == "en");
}
