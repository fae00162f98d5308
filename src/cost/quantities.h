// What to buy: compound by coat and kind, tape, beads, fixings, sheets. From the sections and lengths of the job's own joints, with
// the published rules by area beside them where there are some; ranges hold both where they disagree.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "board/stock.h"
#include "cost/work.h"

namespace rakelight {

/// One way of reckoning an amount, and where it comes from.
struct Reckoning { std::string basis; Range amount; };

struct Item {
  std::string group;                   ///< "compound" | "tape" | "beads" | "fixings" | "sheets"
  std::string name;                    ///< "second coat, drying"
  std::string unit;                    ///< "L" | "kg" | "m" | "pieces" | "sheets"
  Range amount;
  std::vector<Reckoning> from;         ///< that the range holds, or, where it says so, that it does not
  std::optional<dvec2> size;           ///< of sheets: width, length, m
  int coat = -1;                       ///< of compound
};

struct Quantities {
  std::vector<Item> items;
  Range compound_litres, compound_kg, tape_m, bead_m, sheets;
  double boarded_m2 = 0, joint_m = 0;
  std::vector<std::string> notes;
};
/// The faces as sheets are cut for them, in the surfaces' order.
std::vector<CuttingFace> cutting_faces(const Study& study, const Surfaces& surfaces);
Quantities quantities_of(const Study& study, const Surfaces& surfaces);

/// Money, from the job's rates alone.
struct Price { std::string what; Range amount; };
struct Prices {
  std::string currency;
  std::vector<Price> prices;           ///< of what has a rate; empty without rates
  Range total;
  std::vector<std::string> unpriced;   ///< what has none and is not in the total
};
Prices prices_of(const Job& job, const std::vector<Visit>& visits, const Quantities& quantities);
/// "EUR 1,240–1,910"; one figure where both ends print alike.
std::string money_text(const std::string& currency, Range amount);

}  // namespace rakelight
