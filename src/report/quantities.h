// What to buy and how long it takes, for people and for other programs.
#pragma once
#include <string>

#include "cost/programme.h"
#include "cost/quantities.h"
#include "cost/work.h"

namespace rakelight {

struct QuantitiesReport {
  const Study& study;
  const Quantities& quantities;
  const std::vector<Visit>& visits;
  const Programme& programme;
  const Prices& prices;
};
std::string quantities_text(const QuantitiesReport& report, bool colour);
/// As docs/schema/quantities.json: metric, whatever the job's unit.
std::string quantities_json(const QuantitiesReport& report, const std::string& job_name);

}  // namespace rakelight
