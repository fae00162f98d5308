// Finish levels as data: schemes of levels with their sources, and where sources disagree.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostics.h"

namespace rakelight {

/// A published figure's ground: V read in the document, V2 in a text that quotes it, M+ M M- from memory (high, medium,
/// low), D derived. docs/reference/trade.md has the rows.
struct Ground { std::string source, confidence; };

/// What the framing may be out: `gap` under a rule of `base` (m), on `share` of the area, `rest` on what is left; or, with
/// `between_members`, from one member's face to the next.
struct FramingLimit { double gap = 0, base = 0, share = 1, rest = 0; bool between_members = false; Ground ground; };

/// Boards behind joints that a level asks for: which joints ("recessed" | "butts"), from how many of them on a ceiling.
struct BackingRule { std::string joints; int from = 0; std::string text; Ground ground; };

/// A published use: paint up to `gloss60` (gloss units at 60 degrees), in ordinary light or in critical light as well.
struct PublishedUse { double gloss60 = 0; bool critical = false; std::string text; Ground ground; };

/// A level of a scheme: a bundle of work.
struct Level {
  std::string id;                      ///< "4"
  std::string title;                   ///< what it is, for people
  bool tape = false;
  int coats = 0;                       ///< separate coats over the tape on flat joints
  bool wiped_coat = false;             ///< level 2 of ASTM C840: thin coat wiped over the tape
  std::vector<double> recessed_widths, butt_widths;  ///< finished cumulative width after each coat (bed first), m
  double skim = 0;                     ///< thickness of the film over the whole face, m; 0 = none
  double film_reach = 0.080;           ///< what the film's blade bridges, m
  std::string film;                    ///< "" | scraped | drawn | sprayed | coat
  std::string sealer;                  ///< "none" | "primer" | "whole face"
  std::optional<FramingLimit> framing;
  std::optional<BackingRule> backing;
  std::vector<PublishedUse> uses;      ///< under smooth paint; empty: not meant for it
  std::vector<std::string> tolerances; ///< ids of assets/schemes/tolerances.toml that the scheme itself names
  std::string use, source;
};

/// Where sources disagree about a scheme: what is taken, and the other reading, which finishing.readings chooses.
struct Reading {
  std::string id, about, taken, says;
  std::vector<std::string> levels;     ///< that it changes
  Ground ground;
  bool chosen = false;
};

struct Scheme {
  std::string id, title, source;
  std::string standard;                ///< the level meant when none is named
  std::vector<Level> levels;           ///< least work first
  std::vector<Reading> readings;
  const Level* find(const std::string& level) const;
  /// The least level whose published use covers smooth paint of `gloss60` in this light; null when there is none.
  const Level* published_for(double gloss60, bool critical) const;
};

/// Reads a scheme file, with the readings chosen from `readings` by their ids. Keys and forms: docs/user/levels.md.
/// Complaints (their spans lie in `text`) go to `diagnostics`; empty when there is an error. A reading that the scheme does
/// not have is no complaint here: the caller finds it missing among the chosen ones.
std::optional<Scheme> read_scheme(std::string_view text, const std::vector<std::string>& readings, Diagnostics& diagnostics);

/// Embedded schemes; empty when unknown. Throws std::logic_error when the embedded file is broken.
std::optional<Scheme> scheme(const std::string& id, const std::vector<std::string>& readings = {});
std::vector<std::string> scheme_ids();

/// Whether a job's finishing.scheme names a file (it has a slash or ends in .toml).
bool names_a_file(const std::string& scheme);

}  // namespace rakelight
