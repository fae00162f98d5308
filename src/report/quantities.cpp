#include "report/quantities.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "report/json_parts.h"
#include "report/measures.h"
#include "report/words.h"

namespace rakelight {
namespace {

std::string day_word(const Programme& p, long number) {
  if (!p.dated) return "day " + std::to_string(number + 1);
  return day_text(number);
}
Json day_json(const Programme& p, long number) {
  if (!p.dated) return number + 1;
  const CivilDay d = civil_day(number);
  return fmt::format("{:04}-{:02}-{:02}", d.year, d.month, d.day);
}

}  // namespace

std::string quantities_text(const QuantitiesReport& r, bool colour) {
  const Measures m{r.study.job.units == Units::inch};
  std::string out = *r.study.job.title + "\n";
  out += fmt::format("{} of board, {} of joints.\n\n", m.area(r.quantities.boarded_m2), m.metres(r.quantities.joint_m));
  std::vector<std::vector<std::string>> rows{{"what", "amount", "reckoned"}};
  for (const Item& item : r.quantities.items) {
    std::string name = item.name;
    if (item.size) name += fmt::format(", {} by {}", m.length(item.size->x), m.length(item.size->y));
    for (std::size_t i = 0; i < item.from.size(); ++i)
      rows.push_back({i == 0 ? name : "", i == 0 ? m.amount(item.amount, item.unit) : "", fmt::format("{}: {}", item.from[i].basis, m.amount(item.from[i].amount, item.unit))});
  }
  out += table(rows, "  ", colour, r.study.job.units) + "\n";
  std::vector<std::vector<std::string>> visits{{"visit", "hours", "planned", "at best", "then wait", ""}};
  for (std::size_t i = 0; i < r.programme.planned.size(); ++i) {
    const Step &plan = r.programme.planned[i], &best = r.programme.at_best[i];
    const Visit& visit = r.visits[static_cast<std::size_t>(plan.visit)];
    const auto days = [&](const Step& s) { return day_word(r.programme, s.first) + (s.first == s.last ? "" : " to " + day_word(r.programme, s.last)); };
    visits.push_back({fmt::format("{}. {}{}", i + 1, visit.name, visit.compound.empty() ? "" : ", " + visit.compound), visit.by_painter ? "the painter's" : range_text(plan.hours), days(plan), days(best),
                      plan.wait_for.empty() ? "–" : range_text(plan.wait) + " h", plan.wait_for + (plan.thick ? "; thick, the upper end a guess" : "")});
  }
  out += table(visits, "  ", colour);
  out += fmt::format("  {} hours in {} visits.", range_text(hours_of(r.visits)), count_of(r.visits));
  if (r.programme.paint_known) out += fmt::format(" Paint no earlier than {} (at best {}).", day_word(r.programme, r.programme.paint_planned), day_word(r.programme, r.programme.paint_at_best));
  out += fmt::format(" Air at {} and {} % relative humidity.\n", m.temperature(r.programme.air.celsius), fixed_text(100 * r.programme.air.humidity, 0));
  if (!r.prices.prices.empty()) {
    std::vector<std::vector<std::string>> prices{{"price", ""}};
    for (const Price& p : r.prices.prices) prices.push_back({p.what, money_text(r.prices.currency, p.amount)});
    prices.push_back({"together", money_text(r.prices.currency, r.prices.total)});
    out += "\n" + table(prices, "  ", colour);
    if (!r.prices.unpriced.empty()) out += fmt::format("  Without a rate, and not in it: {}.\n", fmt::join(r.prices.unpriced, ", "));
  }
  out += "\nEstimates: no labour rate was verified; ranges hold sources that disagree.\n";
  for (const std::string& note : r.quantities.notes) out += "- " + note + "\n";
  for (const Assumed& a : assumed_for_paper(r.study.job)) out += fmt::format("- {} = {}: {}\n", a.key, a.value, a.why);
  return in_units(r.study.job.units, out);
}

std::string quantities_json(const QuantitiesReport& r, const std::string& job_name) {
  Json j = heading(&r.study.job);
  for (const Assumed& a : assumed_for_paper(r.study.job)) j["assumed"].push_back({{"key", a.key}, {"value", a.value}, {"why", a.why}});
  j["job"] = job_name;
  j["title"] = *r.study.job.title;
  j["boarded_m2"] = rounded(r.quantities.boarded_m2);
  j["joint_m"] = rounded(r.quantities.joint_m);
  j["items"] = Json::array();
  for (const Item& item : r.quantities.items) {
    Json i{{"group", item.group}, {"name", item.name}, {"unit", item.unit}, {"amount", range_json(item.amount, 4)}};
    if (item.coat >= 0) i["coat"] = item.coat + 1;
    if (item.size) i["size_mm"] = {rounded(item.size->x * mm_per_m), rounded(item.size->y * mm_per_m)};
    i["reckoned"] = Json::array();
    for (const Reckoning& from : item.from) i["reckoned"].push_back({{"basis", from.basis}, {"amount", range_json(from.amount, 4)}});
    j["items"].push_back(i);
  }
  j["visits"] = Json::array();
  for (std::size_t k = 0; k < r.programme.planned.size(); ++k) {
    const Step &plan = r.programme.planned[k], &best = r.programme.at_best[k];
    const Visit& visit = r.visits[static_cast<std::size_t>(plan.visit)];
    Json v{{"name", visit.name}, {"compound", visit.compound.empty() ? Json(nullptr) : Json(visit.compound)}, {"by_painter", visit.by_painter}, {"surfaces", visit.surfaces}, {"hours", range_json(visit.hours())}};
    v["tasks"] = Json::array();
    for (const Task& task : visit.tasks) v["tasks"].push_back({{"what", task.what}, {"hours", range_json(task.hours, 4)}});
    v["planned"] = {{"from", day_json(r.programme, plan.first)}, {"to", day_json(r.programme, plan.last)}};
    v["at_best"] = {{"from", day_json(r.programme, best.first)}, {"to", day_json(r.programme, best.last)}};
    v["wait_hours"] = range_json(plan.wait, 4);
    v["wait_for"] = plan.wait_for.empty() ? Json(nullptr) : Json(plan.wait_for);
    j["visits"].push_back(v);
  }
  j["hours"] = range_json(hours_of(r.visits));
  j["visit_count"] = count_of(r.visits);
  j["paint_from"] = r.programme.paint_known ? Json{{"planned", day_json(r.programme, r.programme.paint_planned)}, {"at_best", day_json(r.programme, r.programme.paint_at_best)}} : Json(nullptr);
  j["price"] = nullptr;
  if (!r.prices.prices.empty()) {
    Json price{{"currency", r.prices.currency.empty() ? Json(nullptr) : Json(r.prices.currency)}, {"items", Json::array()}, {"total", range_json(r.prices.total, 4)}, {"unpriced", r.prices.unpriced}};
    for (const Price& p : r.prices.prices) price["items"].push_back({{"what", p.what}, {"amount", range_json(p.amount, 4)}});
    j["price"] = price;
  }
  j["notes"] = r.quantities.notes;
  return text_of(j);
}

}  // namespace rakelight
