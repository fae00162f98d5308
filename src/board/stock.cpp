#include "board/stock.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>

#include "board/ground.h"
#include "room/say.h"

namespace rakelight {
namespace {

constexpr double near_enough = 1e-6;  // m

/// What is left of a stock sheet: a rectangle, and how many of its long edges are the factory's.
struct Offcut { int stock = 0; double width = 0, length = 0; int edges = 0; double full_width = 0; };

/// Cuts pieces one by one, from the smallest offcut that takes one, else from a new sheet.
class Saw {
 public:
  /// The stock sheet that a piece comes from, and whether from what was left of it.
  std::pair<int, bool> cut(dvec2 size, double width, double length) {
    const bool ripped = size.x < width - filled_gap;
    int best = -1;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < left_.size(); ++k) {
      const Offcut& o = left_[k];
      // a full-width piece takes both factory edges, a ripped one at least one
      const bool fits = size.y <= o.length + near_enough && size.x <= o.width + near_enough &&
                        (ripped ? o.edges >= 1 : o.edges == 2 && std::abs(o.full_width - width) < near_enough);
      if (!fits || o.width * o.length >= least) continue;
      best = static_cast<int>(k);
      least = o.width * o.length;
    }
    Offcut from{0, width, length, 2, width};
    if (best >= 0) {
      from = left_[static_cast<std::size_t>(best)];
      left_.erase(left_.begin() + best);
    } else {
      from.stock = ++bought_;
    }
    // across first: what is left of the length keeps its width; then what is left of the width beside the piece
    if (from.length - size.y > filled_gap) left_.push_back({from.stock, from.width, from.length - size.y, from.edges, from.full_width});
    if (from.width - size.x > filled_gap) left_.push_back({from.stock, from.width - size.x, size.y, from.edges == 2 ? 1 : 0, from.full_width});
    return {from.stock, best >= 0};
  }
  int bought() const { return bought_; }

 private:
  std::vector<Offcut> left_;
  int bought_ = 0;
};

/// Full-width pieces first, then ripped ones, the longest of each first.
bool sooner(dvec2 a, dvec2 b, double width) {
  return std::pair(a.x < width - filled_gap, -a.y) < std::pair(b.x < width - filled_gap, -b.y);
}

/// The rectangle that a sheet is cut to before openings are cut out: all that is left of it.
Rect blank_of(const Sheet& sheet) {
  Rect r{sheet.pieces[0].lo, sheet.pieces[0].hi};
  for (const Rect& p : sheet.pieces) r = {glm::min(r.lo, p.lo), glm::max(r.hi, p.hi)};
  return r;
}

}  // namespace

double team_lifts(int people, double each_kg) {
  if (people <= 1) return each_kg;
  return people == 2 ? 4.0 / 3 * each_kg : 0.5 * people * each_kg;
}

int people_for(double kg, double each_kg) {
  for (int n = 1; n <= 8; ++n)
    if (kg <= team_lifts(n, each_kg) + 1e-9) return n;
  return 0;
}

double longest_round(double a, double b) { return std::pow(std::cbrt(a * a) + std::cbrt(b * b), 1.5); }

std::string cannot_enter(const AccessSpec& access, double width, double length, Units units) {
  auto text = [&](double m) { return length_text(units, m); };
  if (access.door.given && width > access.door->y)
    return "the door is " + text(access.door->y) + " high, less than the sheet is wide (" + text(width) + ")";
  if (access.turn.given && access.passage.given) {
    const double most = longest_round(*access.passage, *access.turn);
    if (length > most) return "round the turn no more than " + text(most) + " goes, and the sheet is " + text(length) + " long";
  }
  if (access.lift.given) {
    const dvec3 car = *access.lift;
    bool fits = false;
    for (int side = 0; side < 3; ++side) {
      const double p = car[(side + 1) % 3], q = car[(side + 2) % 3];
      fits = fits || (width <= car[side] && length <= std::hypot(p, q));
    }
    if (!fits) return "the lift's car takes no sheet of " + text(width) + " by " + text(length);
  }
  return "";
}

std::vector<double> stock_lengths(const SurfaceSpec& spec) {
  std::vector<double> out = *spec.lengths;
  if (out.empty()) out = {2.4, 2.7, 3.0, 3.6, spec.sheet->y};
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return b - a < near_enough; }), out.end());
  return out;
}

Cutting cut_sheets(const std::vector<CuttingFace>& faces) {
  Cutting out;
  Saw saw;
  for (const CuttingFace& face : faces) {
    std::vector<Cut> cuts;
    for (std::size_t i = 0; i < face.layout->sheets.size(); ++i) {
      const Sheet& sheet = face.layout->sheets[i];
      const Rect blank = blank_of(sheet), r = turned(blank, face.layout->run);
      Cut c;
      c.surface = face.surface;
      c.sheet = static_cast<int>(i);
      c.mark = face.name + " " + std::to_string(i + 1);
      c.size = {std::min(r.height(), face.width), std::min(r.width(), face.length)};
      c.ripped = c.size.x < face.width - filled_gap;
      c.shortened = c.size.y < face.length - filled_gap;
      const double area = sheet.area();
      c.cut_out = area < blank.width() * blank.height() - 1e-4;
      out.board_area += area;
      cuts.push_back(c);
    }
    std::vector<std::size_t> order(cuts.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return sooner(cuts[a].size, cuts[b].size, face.width); });
    auto use = std::find_if(out.stock.begin(), out.stock.end(), [&](const StockUse& s) {
      return std::abs(s.width - face.width) < near_enough && std::abs(s.length - face.length) < near_enough;
    });
    if (use == out.stock.end()) use = out.stock.insert(out.stock.end(), {face.width, face.length, 0});
    const int before = saw.bought();
    for (std::size_t i : order) {
      std::tie(cuts[i].stock, cuts[i].offcut) = saw.cut(cuts[i].size, face.width, face.length);
      out.reused += cuts[i].offcut;
    }
    use->count += saw.bought() - before;
    out.stock_area += (saw.bought() - before) * face.width * face.length;
    out.cuts.insert(out.cuts.end(), cuts.begin(), cuts.end());
  }
  return out;
}

int sheets_for(std::vector<dvec2> pieces, double width, double length) {
  std::stable_sort(pieces.begin(), pieces.end(), [&](dvec2 a, dvec2 b) { return sooner(a, b, width); });
  Saw saw;
  for (dvec2 size : pieces) saw.cut(size, width, length);
  return saw.bought();
}

}  // namespace rakelight
