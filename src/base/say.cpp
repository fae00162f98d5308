#include "base/say.h"

#include <algorithm>
#include <atomic>
#include <cctype>
#include <cstdlib>
#include <map>
#include <memory>
#include <toml++/toml.h>

#include "embedded_assets.h"

namespace rakelight {
namespace {

struct Phrases {
  Language language;
  std::vector<std::pair<std::string, std::string>> written;  ///< as the file has them
  std::map<std::string, std::string, std::less<>> sound;     ///< those that can be filled in
};

std::string path_of(std::string_view code) { return "languages/" + std::string(code) + ".toml"; }

Phrases read(std::string_view code) {
  Phrases out;
  out.language = {std::string(code), std::string(code)};
  const toml::table file = toml::parse(embedded_assets(path_of(code)));
  out.language.name = file["language"].value_or(std::string(code));
  if (const toml::table* words = file["phrases"].as_table())
    for (const auto& [english, translation] : *words)
      if (const auto text = translation.value<std::string>()) {
        out.written.emplace_back(std::string(english.str()), *text);
        if (same_places(english.str(), *text)) out.sound.insert(out.written.back());
      }
  return out;
}

/// All of them, read once and kept to the end, so that what phrase() gives out stays good.
const std::vector<std::unique_ptr<const Phrases>>& all() {
  static const auto known = [] {
    std::vector<std::unique_ptr<const Phrases>> out;
    for (const std::string_view path : embedded_assets_paths()) {
      constexpr std::string_view folder = "languages/", ending = ".toml";
      if (!path.starts_with(folder) || !path.ends_with(ending)) continue;
      out.push_back(std::make_unique<const Phrases>(read(path.substr(folder.size(), path.size() - folder.size() - ending.size()))));
    }
    return out;
  }();
  return known;
}

const Phrases* find(std::string_view code) {
  for (const auto& p : all())
    if (p->language.code == code) return p.get();
  return nullptr;
}

std::atomic<const Phrases*> chosen{nullptr};  // null: English

}  // namespace

std::string_view phrase(std::string_view english) {
  const Phrases* p = chosen.load();
  if (!p) return english;
  const auto at = p->sound.find(english);
  return at == p->sound.end() ? english : std::string_view(at->second);
}

std::vector<Language> languages() {
  std::vector<Language> out{{"en", "English"}};
  for (const auto& p : all()) out.push_back(p->language);
  return out;
}

std::string_view language() {
  const Phrases* p = chosen.load();
  return p ? std::string_view(p->language.code) : "en";
}

bool choose_language(std::string_view code) {
  const Phrases* p = find(code);
  if (!p && code != "en") return false;
  chosen = p;
  return true;
}

std::string language_of_environment() {
  for (const char* name : {"LC_ALL", "LC_MESSAGES", "LANG"}) {
    const char* value = std::getenv(name);
    if (!value || !*value) continue;
    const std::string_view text = value;
    const std::string_view code = text.substr(0, text.find_first_of("_.@"));
    return find(code) ? std::string(code) : "en";
  }
  return "en";
}

std::vector<std::pair<std::string, std::string>> phrases_of(std::string_view code) {
  const Phrases* p = find(code);
  return p ? p->written : std::vector<std::pair<std::string, std::string>>{};
}

std::optional<std::vector<std::string>> places_of(std::string_view text) {
  std::vector<std::string> out;
  int next = 0, numbered = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c != '{' && c != '}') continue;
    if (i + 1 < text.size() && text[i + 1] == c) {
      ++i;
      continue;
    }
    const std::size_t end = text.find('}', i);
    if (c == '}' || end == std::string_view::npos) return std::nullopt;
    std::string_view inside = text.substr(i + 1, end - i - 1);
    if (inside.find('{') != std::string_view::npos) return std::nullopt;  // widths as arguments are not for phrases
    const std::size_t colon = inside.find(':');
    const std::string_view index = inside.substr(0, colon), spec = colon == std::string_view::npos ? "" : inside.substr(colon + 1);
    if (!std::all_of(index.begin(), index.end(), [](unsigned char d) { return std::isdigit(d); }) || index.size() > 2) return std::nullopt;
    numbered += !index.empty();
    out.push_back((index.empty() ? std::to_string(next++) : std::string(index)) + ":" + std::string(spec));
    i = end;
  }
  if (numbered > 0 && next > 0) return std::nullopt;  // fmt takes either the one or the other
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

bool same_places(std::string_view english, std::string_view translation) {
  const auto a = places_of(english), b = places_of(translation);
  return a && b && *a == *b;
}

}  // namespace rakelight
