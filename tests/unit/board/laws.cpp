// What holds for every layout, over random rooms.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "board/board.h"
#include "room/plan.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

// Corners are rounded to millimetres, edges nearer than 1e-7 m are taken as one and joints and pieces under
// 1e-6 m are dropped; over the at most 200 pieces of a surface that is well below 1e-5 m or m².
constexpr double slack = 1e-5;

double round_mm(double m) { return std::round(m * 1000) / 1000; }

/// A random room: a rectangle, an L, or a star of 5 to 9 corners, with up to two windows and a door per wall.
Job random_room(Random& random, bool square_only) {
  const double a = round_mm(random.uniform(2.0, 9.0)), b = round_mm(random.uniform(2.0, 9.0));
  std::vector<dvec2> plan{{0, 0}, {0, b}, {a, b}, {a, 0}};
  const double kind = random.uniform();
  if (kind > 0.7) {
    const double x = round_mm(a * random.uniform(0.2, 0.8)), y = round_mm(b * random.uniform(0.2, 0.8));
    plan = {{0, 0}, {0, b}, {x, b}, {x, y}, {a, y}, {a, 0}};
  } else if (kind > 0.4 && !square_only) {
    plan = random_star(random, {a, b}, 5 + static_cast<int>(random.uniform(0, 5)), 2.0, 5.0);
    for (dvec2& p : plan) p = {round_mm(p.x), round_mm(p.y)};
  }
  Job job = bare_job(plan, round_mm(random.uniform(2.1, 5.0)));
  const double height = *job.room.height;
  for (std::size_t i = 0; i < plan.size(); ++i) {
    const double length = glm::length(plan[(i + 1) % plan.size()] - plan[i]);
    const std::string wall = *job.room.walls[i];
    job.surfaces.push_back(boarded(wall, {round_mm(random.uniform(0.9, 1.3)), round_mm(random.uniform(2.0, 4.0))}));
    if (length < 1.0) continue;
    const double w = round_mm(0.3 * length);
    if (random.uniform() < 0.6)
      job.windows.push_back(window("L" + wall, wall, round_mm(random.uniform(0, 0.15 * length)), round_mm(random.uniform(0, 1)), w,
                                   round_mm(random.uniform(0.3, height - 1.05))));
    if (random.uniform() < 0.6) job.doors.push_back(door(wall, round_mm(length * 0.5), w, round_mm(random.uniform(1.9, height - 0.05))));
  }
  for (WindowSpec& spec : job.windows) spec.reveal = written(0.0);
  job.surfaces.push_back(boarded("ceiling", {1.2, round_mm(random.uniform(2.0, 4.0))}));
  return job;
}

double area_of(const std::vector<dvec2>& part) { return std::abs(signed_area(part)); }

bool in_opening(const Room& room, int surface, dvec2 p, double by) {
  auto inside = [&](const Rect& r) { return p.x > r.lo.x + by && p.x < r.hi.x - by && p.y > r.lo.y + by && p.y < r.hi.y - by; };
  for (const Window& w : room.windows)
    if (w.surface == surface && inside(w.opening)) return true;
  for (const Door& d : room.doors)
    if (d.surface == surface && inside(d.opening)) return true;
  return false;
}

/// The sheet that covers a point clear of every edge, −1 for none.
int sheet_at(const Layout& layout, dvec2 p) {
  int found = -1;
  for (std::size_t i = 0; i < layout.sheets.size(); ++i)
    for (const std::vector<dvec2>& part : layout.sheets[i].parts)
      if (outline_contains(part, p, 0)) {
        REQUIRE(found < 0);  // pieces are disjoint
        found = static_cast<int>(i);
      }
  return found;
}

void check_layout(Random& random, const Room& room, int surface, const Layout& layout) {
  const Surface& s = room.surfaces[surface];
  double wanted = std::abs(signed_area(s.outline)), covered = 0;
  for (const Window& w : room.windows)
    if (w.surface == surface) wanted -= w.opening.width() * w.opening.height();
  for (const Door& d : room.doors)
    if (d.surface == surface) wanted -= d.opening.width() * d.opening.height();
  for (const Sheet& sheet : layout.sheets) {
    REQUIRE(sheet.parts.size() == sheet.pieces.size());
    for (std::size_t i = 0; i < sheet.parts.size(); ++i) {
      covered += area_of(sheet.parts[i]);
      REQUIRE(sheet.pieces[i].width() * sheet.pieces[i].height() > area_of(sheet.parts[i]) - slack);
      for (dvec2 p : sheet.parts[i]) {
        REQUIRE((s.contains(p) || distance_to_outline(s.outline, p) < slack));
        REQUIRE(p.x > sheet.outline.lo.x - slack);
        REQUIRE(p.x < sheet.outline.hi.x + slack);
        REQUIRE(p.y > sheet.outline.lo.y - slack);
        REQUIRE(p.y < sheet.outline.hi.y + slack);
      }
    }
  }
  REQUIRE(covered == Approx(wanted).margin(slack).epsilon(0));

  // Points at random: a sheet lies there exactly where the surface is and no opening.
  for (int k = 0; k < 40; ++k) {
    const dvec2 p{random.uniform(s.box.lo.x, s.box.hi.x), random.uniform(s.box.lo.y, s.box.hi.y)};
    const bool solid = s.contains(p) && !in_opening(room, surface, p, 0);
    bool near_edge = distance_to_outline(s.outline, p) < 1e-4 || in_opening(room, surface, p, -1e-4) != in_opening(room, surface, p, 1e-4);
    for (const Sheet& sheet : layout.sheets)
      for (const std::vector<dvec2>& part : sheet.parts) near_edge = near_edge || distance_to_outline(part, p) < 1e-4;
    if (!near_edge) REQUIRE((sheet_at(layout, p) >= 0) == solid);
  }

  // Joints: along each there is board on both sides, of two different sheets, and no opening.
  for (const JointLine& j : layout.joints) {
    REQUIRE(j.surface == surface);
    REQUIRE(j.room_left >= 0);
    REQUIRE(j.room_right >= 0);
    REQUIRE((j.from.x < j.to.x || j.from.y < j.to.y));
    if (j.length() < 0.01) continue;
    for (int k = 0; k < 12; ++k) {
      const dvec2 p = j.from + random.uniform(0.002, 0.998) * j.length() * j.along();
      REQUIRE(!in_opening(room, surface, p, 0));
      REQUIRE(s.contains(p));
      // 0.01 mm beside the line; closer than that to a butt that ends here, the point lies on an edge
      bool at_end_of_butt = false;
      for (const JointLine& other : layout.joints)
        if (other.kind != j.kind) at_end_of_butt = at_end_of_butt || std::min(glm::length(other.from - p), glm::length(other.to - p)) < 1e-3;
      const bool slant = distance_to_outline(s.outline, p) < 1e-3;
      if (at_end_of_butt || slant) continue;
      const int left = sheet_at(layout, p - 1e-5 * j.across()), right = sheet_at(layout, p + 1e-5 * j.across());
      REQUIRE(left >= 0);
      REQUIRE(right >= 0);
      REQUIRE(left != right);
      // what it says is clear beside it is clear: no opening and no edge nearer
      for (auto [side, clear] : {std::pair{-1.0, j.room_left}, std::pair{1.0, j.room_right}}) {
        const dvec2 q = p + side * random.uniform(0.0, 0.999) * clear * j.across();
        REQUIRE(!in_opening(room, surface, q, slack));
        if (s.kind == Surface::Kind::wall) REQUIRE(s.contains(q));
      }
    }
  }

  // Every stretch where two sheets touch is a joint, once: the joints' total length is the sheets' common edge.
  double touching = 0, lines = 0;
  for (const JointLine& j : layout.joints) lines += j.length();
  for (std::size_t a = 0; a < layout.sheets.size(); ++a)
    for (std::size_t b = a + 1; b < layout.sheets.size(); ++b)
      for (const std::vector<dvec2>& p : layout.sheets[a].parts)
        for (const std::vector<dvec2>& q : layout.sheets[b].parts)
          for (std::size_t i = 0; i < 4; ++i)
            for (std::size_t k = 0; k < 4; ++k) {
              const dvec2 u = p[i], v = p[(i + 1) % 4], m = q[k], n = q[(k + 1) % 4];
              const double length = glm::length(v - u);
              if (length < 1e-6 || glm::length(n - m) < 1e-6) continue;
              const dvec2 t = (v - u) / length;
              if (std::abs(cross(t, m - u)) > 2e-7 || std::abs(cross(t, n - u)) > 2e-7) continue;
              const double lo = std::min(glm::dot(m - u, t), glm::dot(n - u, t)), hi = std::max(glm::dot(m - u, t), glm::dot(n - u, t));
              touching += std::max(0.0, std::min(hi, length) - std::max(lo, 0.0));
            }
  REQUIRE(lines == Approx(touching).margin(slack).epsilon(0));
}

}  // namespace

TEST_CASE("sheets cover every surface once and meet in joints", "[board]") {
  Random random(2025);
  int rooms = 0, lost = 0;
  while (rooms < 300) {
    const Job job = random_room(random, false);
    Diagnostics diagnostics;
    const std::optional<Room> room = make_room(job, diagnostics);
    if (!room) {
      INFO(diagnostics.to_text("", std::string(1000000, ' ')));
      REQUIRE(++lost < 30);  // a random star may still cross itself
      continue;
    }
    ++rooms;
    for (int i = 0; i <= room->ceiling(); ++i)
      for (Run run : {Run::horizontal, Run::upright}) check_layout(random, *room, i, lay_sheets(job, *room, i, run));
  }
}

TEST_CASE("a mirrored room has mirrored joints where the bond has no left", "[board]") {
  // Rows fill from the left, so in general the mirrored layout is not the layout of the mirrored room. It is where
  // rows are alike from both ends: upright sheets on walls a whole number of widths long, and lying sheets on walls a
  // whole number of lengths long (the half-sheet rows are symmetric too).
  Random random(7);
  for (int trial = 0; trial < 50; ++trial) {
    const dvec2 size{1.2, 3.0};
    const double a = 6.0 * (1 + static_cast<int>(random.uniform(0, 2))), b = 6.0;
    Job job = bare_job({{0, 0}, {0, b}, {a, b}, {a, 0}}, round_mm(random.uniform(2.4, 2.9)));
    const double from = round_mm(random.uniform(0, 2)), width = round_mm(random.uniform(0.5, 2));
    job.windows.push_back(window("W", "B", from, 0.8, width, 1.2));
    job.surfaces.push_back(boarded("B", size));
    Job image = bare_job(mirrored(*job.room.corners), *job.room.height);
    // wall i of the room is wall n − 1 − i of the image
    const std::string wall = "C";
    image.windows.push_back(window("W", wall, a - from - width, 0.8, width, 1.2));
    image.surfaces.push_back(boarded(wall, size));
    Diagnostics diagnostics;
    const std::optional<Room> room = make_room(job, diagnostics), other = make_room(image, diagnostics);
    REQUIRE(room);
    REQUIRE(other);
    for (Run run : {Run::horizontal, Run::upright}) {
      const Layout layout = lay_sheets(job, *room, 1, run), reflected = lay_sheets(image, *other, 2, run);
      REQUIRE(layout.joints.size() == reflected.joints.size());
      for (const JointLine& j : layout.joints) {
        const bool level = std::abs(j.along().x) > 0.5;
        const dvec2 lo{a - j.to.x, j.from.y};
        const auto hit = std::find_if(reflected.joints.begin(), reflected.joints.end(), [&](const JointLine& k) {
          // sums of a handful of decimals
          return k.kind == j.kind && glm::length(k.from - lo) < 1e-9 && std::abs(k.length() - j.length()) < 1e-9;
        });
        REQUIRE(hit != reflected.joints.end());
        CHECK(hit->room_left == Approx(level ? j.room_left : j.room_right).margin(1e-9));
        CHECK(hit->room_right == Approx(level ? j.room_right : j.room_left).margin(1e-9));
      }
    }
  }
}
