// Sources: docs/reference/trade.md 4.1 (shrinkage, densities) and 7.1.
#include "cost/quantities.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/text.h"
#include "base/units.h"
#include "cost/sections.h"
#include "joint/make_up.h"

namespace rakelight {
namespace {

constexpr double litres_per_m3 = 1000;
// kg a litre, mixed: conventional 1.6-1.7 (M); lightweight at most 1.44 (12 lb a gallon, V); setting as conventional (estimate)
constexpr Range conventional{1.6, 1.7}, light{1.44, 1.44};
// what is mixed and not left in the joint: wiped off, washed out, set in the bucket (estimate)
constexpr Range compound_waste{1.05, 1.25};
constexpr Range cut_waste{1.0, 1.15};            // of tape and beads (estimate)
// by area, of ready-mixed compound to level 4: textbook 5 US gallons a 1000 ft² (V), common 9-10 (M+); 12-14 lb a 100 ft² (V2)
constexpr Range litres_by_area{0.20, 0.41}, kg_by_area{0.59, 0.68};
constexpr Range tape_by_area{1.21, 1.25};        // m per m²: common (M+), textbook (V)
constexpr double tape_by_sheet = 2.5;            // 24 ft a 4×8 sheet (V2): counts shared edges twice
constexpr double screws_by_area = 10.8;          // 1000 a 1000 ft² (V)
constexpr Range screw_waste{1.0, 1.10};          // estimate
constexpr Range wall_waste{1.10, 1.15}, ceiling_waste{1.15, 1.20};  // V2

Range density(const std::string& kind) { return kind == "lightweight" ? light : conventional; }

std::string kind_of_coat(const Study& study, int coat) {
  const std::vector<std::string>& compound = *study.job.finishing.compound;
  return compound.empty() ? "drying" : compound[std::min(static_cast<std::size_t>(coat), compound.size() - 1)];
}

/// Lines that lie in one corner of the room: each face has its own, the tape or bead is one.
double share_of_corner(const Study& study, const Surfaces& surfaces, const SurfaceResult& own, const JointLine& line) {
  const auto middle = [&](const SurfaceResult& s, const JointLine& l) { return study.room.surfaces[s.surface].frame.world_from_surface(0.5 * (l.from + l.to)); };
  for (const SurfaceResult* other : surfaces)
    if (other->surface != own.surface)
      for (const JointLine& l : other->layout.joints)
        if (l.kind == line.kind && std::abs(l.length() - line.length()) < 0.25 && glm::length(middle(*other, l) - middle(own, line)) < 0.15) return 0.5;
  return 1;
}

class Taking {
 public:
  Taking(const Study& study, const Surfaces& surfaces) : study_(study), surfaces_(surfaces) {
    for (const SurfaceResult* surface : surfaces_) {
      const SurfaceResult& s = *surface;
      q_.boarded_m2 += boarded_area(s.layout);
      for (const JointLine& line : s.layout.joints)
        if (line.kind != JointKind::fixings) q_.joint_m += line.length();
    }
  }

  Quantities all() {
    compound();
    lengths();
    fixings();
    sheets();
    q_.notes = {"compound by the sections of the job's own joints, mixed and before it shrinks (setting 1-5 %, drying 20-30 %, lightweight 10-20 % of its volume, common practice), with 5-25 % more for what is wiped off, washed out or sets in the bucket (estimate)",
                "published rules by area disagree by more than a factor of two; the total for compound holds them and the sections",
                "weights of mixed compound: 1.6-1.7 kg a litre, lightweight at most 1.44 (common practice, a trade council); of setting compound as much (estimate)",
                "tape and beads with up to 15 % waste (estimate); the rule of 24 ft of tape a 4x8 sheet counts shared edges twice",
                "waste of sheets as published: walls 10 to 15 %, ceilings 15 to 20 %"};
    return std::move(q_);
  }

 private:
  void compound() {
    std::map<int, double> litres;                // per coat, of the joints
    double film = 0, usual_area = 0;
    int film_coat = 0;
    for (const SurfaceResult* surface : surfaces_) {
      const SurfaceResult& s = *surface;
      const Level& level = *study_.scheme.find(s.finish.level);
      for (const JointResult& joint : s.joints) {
        const std::vector<CoatVolume> volumes = coat_volumes(joint.joint);
        for (std::size_t k = 0; k < volumes.size(); ++k) litres[static_cast<int>(k)] += volumes[k].volume * litres_per_m3;
      }
      const double area = boarded_area(s.layout);
      usual_area += share_of_level_four(level) * area;
      if (level.skim > 0) {
        film += level.skim * area * litres_per_m3;
        film_coat = std::max(film_coat, coats_on(level, JointKind::recessed));
      }
    }
    Range by_section, kg;
    for (const auto& [coat, net] : litres) {
      if (net <= 0) continue;
      by_section = by_section + add_compound(coat_name(coat), coat, {net, net}, compound_waste, kg);
    }
    if (usual_area > 0) {
      const Range by_litres = litres_by_area * usual_area, by_kg = kg_by_area * usual_area;
      q_.compound_litres = hull(by_section, hull(by_litres, {by_kg.low / conventional.high, by_kg.high / conventional.low}));
      q_.compound_kg = hull(kg, hull(by_litres * conventional, by_kg));
      if (film > 0) {
        Range film_kg;
        q_.compound_litres = q_.compound_litres + add_compound("film over the whole face", film_coat, {film, film}, film_waste, film_kg);
        q_.compound_kg = q_.compound_kg + film_kg;
      }
      Item total{"compound", "all coats", "L", q_.compound_litres,
                 {{"by the sections above", by_section}, {"by area, textbook and common practice (0.20-0.41 L/m² at level 4)", by_litres},
                  {"by area and weight (0.59-0.68 kg/m² at level 4)", {by_kg.low / conventional.high, by_kg.high / conventional.low}}}, {}, -1};
      if (film > 0) total.from.push_back({"of which the film", Range{film, film} * film_waste});
      q_.items.push_back(total);
      q_.items.push_back({"compound", "all coats, by weight", "kg", q_.compound_kg, {{"from the litres above", q_.compound_kg}}, {}, -1});
    }
  }

  /// Adds one coat's litres; returns them with their waste, and adds their weight to `kg`.
  Range add_compound(const std::string& name, int coat, Range net, Range waste, Range& kg) {
    const std::string kind = kind_of_coat(study_, coat);
    const Range with_waste = net * waste;
    kg = kg + with_waste * density(kind);
    q_.items.push_back({"compound", name + ", " + kind, "L", with_waste, {{"by the joints' sections, before it shrinks", net}}, {}, coat});
    return with_waste;
  }

  void lengths() {
    double tape = 0, taped_area = 0, bead = 0;
    for (const SurfaceResult* surface : surfaces_) {
      const SurfaceResult& s = *surface;
      const Level& level = *study_.scheme.find(s.finish.level);
      if (level.tape) taped_area += boarded_area(s.layout);
      for (const JointLine& line : s.layout.joints) {
        const double metres = line.length() * (is_one_sided(line.kind) ? share_of_corner(study_, surfaces_, s, line) : 1.0);
        if (has_bead(line.kind)) bead += metres;
        else if (takes_tape(line.kind) && level.tape) tape += metres;
      }
    }
    if (*study_.job.finishing.tape == TapeSpec::none) tape = 0;
    q_.tape_m = Range{tape, tape} * cut_waste;
    q_.bead_m = Range{bead, bead} * cut_waste;
    constexpr const char* names[] = {"paper tape", "mesh tape", "fleece tape", "tape"};
    if (tape > 0)
      q_.items.push_back({"tape", names[static_cast<int>(*study_.job.finishing.tape)], "m", q_.tape_m,
                          {{"by the job's joints and taped corners", {tape, tape}}, {"beside it, by area, textbook and common practice (1.21-1.25 m/m²)", tape_by_area * taped_area},
                           {"beside it, 24 ft a 4x8 sheet (2.5 m/m², counts shared edges twice)", {tape_by_sheet * taped_area, tape_by_sheet * taped_area}}}, {}, -1});
    if (bead > 0) q_.items.push_back({"beads", "corner and edge beads", "m", q_.bead_m, {{"by the job's corners and openings", {bead, bead}}}, {}, -1});
  }

  void fixings() {
    double counted = 0, uncounted = 0, counted_area = 0;
    std::string what = "screws";
    for (const SurfaceResult* surface : surfaces_) {
      const SurfaceResult& s = *surface;
      const SurfaceSpec& spec = study_.job.surfaces[study_.room.surfaces[s.surface].spec];
      const double area = boarded_area(s.layout);
      if (*spec.fixing == FixingSpec::adhesive || *spec.fixing == FixingSpec::dabs) continue;
      double here = 0;
      for (const JointLine& line : s.layout.joints)
        if (line.kind == JointKind::fixings) here += line.spots.empty() ? std::floor(line.length() / *spec.fixing_spacing) + 1 : static_cast<double>(line.spots.size());
      if (*spec.fixing == FixingSpec::nails) what = "nails";
      (here > 0 ? counted_area : uncounted) += area;
      counted += here;
    }
    const double by_area = screws_by_area * (uncounted + counted_area);
    if (by_area <= 0) return;
    Item item{"fixings", what, "pieces", Range{by_area, by_area} * screw_waste, {{"by area (10.8 a m², an estimating textbook)", {by_area, by_area}}}, {}, -1};
    if (counted > 0) {
      // those under joints' tape are no lines of their own, so what is counted is too few
      const double sum = counted + screws_by_area * uncounted;
      item.from.push_back({"those filled one by one or in strips, as the job sets them (joints' own are more)", {sum, sum}});
      item.amount.high = std::max(item.amount.high, sum * screw_waste.high);
    }
    q_.items.push_back(item);
  }

  void sheets() {
    const Cutting cutting = cut_sheets(cutting_faces(study_, surfaces_));
    for (const StockUse& stock : cutting.stock) q_.sheets = q_.sheets + add_sheets(stock, cutting.stock_area);
  }

  /// One size of sheet, as cut and by area: the area is shared by what the sizes are cut for.
  Range add_sheets(const StockUse& stock, double stock_area) {
    double walls = 0, ceilings = 0;
    for (const SurfaceResult* surface : surfaces_) {
      const bool ceiling = study_.room.surfaces[surface->surface].kind == Surface::Kind::ceiling;
      (ceiling ? ceilings : walls) += boarded_area(surface->layout);
    }
    const double one = stock.width * stock.length, laid = stock.count, share = stock_area > 0 ? laid * one / stock_area : 0;
    const Range by_area = (wall_waste * walls + ceiling_waste * ceilings) * (share / one);
    const Range whole{std::ceil(by_area.low - 1e-6), std::ceil(by_area.high - 1e-6)}, amount = hull({laid, laid}, whole);
    q_.items.push_back({"sheets", "plasterboard", "sheets", amount, {{"as cut from stock, offcuts used again", {laid, laid}}, {"by area with published waste", whole}}, dvec2(stock.width, stock.length), -1});
    return amount;
  }

  const Study& study_;
  const Surfaces& surfaces_;
  Quantities q_;
};

std::string thousands(double value) {
  std::string digits = fixed_text(std::round(value), 0);
  for (std::size_t i = digits.size(); i > 3 && digits[i - 4] != '-';) digits.insert(i -= 3, ",");
  return digits;
}

}  // namespace

std::vector<CuttingFace> cutting_faces(const Study& study, const Surfaces& surfaces) {
  std::vector<CuttingFace> faces;
  for (const SurfaceResult* s : surfaces) {
    const Surface& face = study.room.surfaces[s->surface];
    const dvec2 sheet = *study.job.surfaces[face.spec].sheet;
    faces.push_back({s->surface, face.name, &s->layout, sheet.x, sheet.y});
  }
  return faces;
}

Quantities quantities_of(const Study& study, const Surfaces& surfaces) { return Taking(study, surfaces).all(); }

Prices prices_of(const Job& job, const std::vector<Visit>& visits, const Quantities& q) {
  const RatesSpec& r = job.rates;
  Prices out;
  out.currency = *r.currency;
  const auto price = [&](const std::string& what, const Key<double>& rate, Range amount) {
    if (amount.high <= 0) return;
    if (!rate.given) return out.unpriced.push_back(what);
    out.prices.push_back({what, amount * *rate});
    out.total = out.total + out.prices.back().amount;
  };
  const double count = count_of(visits);
  price("hours", r.hour, hours_of(visits));
  price("visits", r.visit, {count, count});
  price("sheets", r.sheet, q.sheets);
  price("compound", r.compound_kg, q.compound_kg);
  price("tape", r.tape_m, q.tape_m);
  price("beads", r.bead_m, q.bead_m);
  if (out.prices.empty()) out.unpriced.clear();
  return out;
}

std::string money_text(const std::string& currency, Range amount) {
  const std::string low = thousands(amount.low), high = thousands(amount.high);
  return (currency.empty() ? "" : currency + " ") + (low == high ? low : low + "–" + high);
}

}  // namespace rakelight
