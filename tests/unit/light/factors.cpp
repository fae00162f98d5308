// Polygon and disc light, form factors and radiosity against closed forms.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <map>

#include "base/units.h"
#include "kernel/polygon.h"
#include "light/polygon_light.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

/// Numbers of a geometry cell such as "height a=1.2 width b=1.8 dist c=0.3", by the letter before '='.
std::map<char, double> figures(const std::string& text) {
  std::map<char, double> out;
  for (std::size_t i = 1; i + 1 < text.size(); ++i)
    if (text[i] == '=') {
      // "X=a/c=2" and "X=Y=1" give the last letter only; callers ask for the letter before each number
      char* end = nullptr;
      const double value = std::strtod(text.c_str() + i + 1, &end);
      if (end != text.c_str() + i + 1) out[text[i - 1]] = value;
    }
  return out;
}

/// Factor from an element at the origin facing n to a rectangle.
double to_rectangle(dvec3 n, dvec3 corner, dvec3 u, dvec3 v, dvec3 facing) {
  return glm::dot(patch_vector(dvec3(0), &n, corner, u, v, facing), n) / pi;
}

Patch rectangle(dvec3 corner, dvec3 u, dvec3 v, dvec3 n) {
  Patch p;
  p.corner = corner;
  p.u = u;
  p.v = v;
  p.n = n;
  p.area = glm::length(glm::cross(u, v));
  return p;
}

double parallel_rectangles(double x, double y) {  // a/c, b/c
  return form_factor(rectangle({0, 0, 0}, {x, 0, 0}, {0, y, 0}, {0, 0, 1}), rectangle({0, 0, 1}, {x, 0, 0}, {0, y, 0}, {0, 0, -1}), 1e-9);
}

/// From the w-surface (floor) to the h-surface (upright), common edge 1.
double perpendicular_rectangles(double h, double w) {
  return form_factor(rectangle({0, 0, 0}, {1, 0, 0}, {0, w, 0}, {0, 0, 1}), rectangle({0, 0, 0}, {1, 0, 0}, {0, 0, h}, {0, 1, 0}), 1e-9);
}

}  // namespace

TEST_CASE("every row of the view factor table is met", "[light]") {
  test::Validated found("view factors", "Howell C-11, C-12, C-14, C-21, C-22, C-25, 35 rows", "2e-12; 1e-8 between faces");
  // Values: Howell's catalogue C-11, C-12, C-14, C-21, C-22, C-25, computed to 12 digits (see the file's head).
  const dvec3 up(0, 0, 1);
  int used = 0;
  for (const auto& row : reference::table("view_factors.csv")) {
    const std::string name = row.text("name"), geometry = row.text("geometry");
    const double value = row.number("value");
    auto g = figures(geometry);
    INFO(name << " " << geometry);
    // exact formulas in double: the table's last digit decides
    double got = -1, tolerance = 2e-12;
    if (name == "dA-rect parallel, corner") {
      got = to_rectangle(up, {0, 0, g['c']}, {g['a'], 0, 0}, {0, g['b'], 0}, -up);
    } else if (name == "dA-rect parallel, centred 2x2 at 1") {
      got = to_rectangle(up, {-1, -1, 1}, {2, 0, 0}, {0, 2, 0}, -up);
    } else if (name == "dA-rect perpendicular, corner") {
      got = to_rectangle(up, {0, g['c'], 0}, {g['b'], 0, 0}, {0, 0, g['a']}, {0, -1, 0});
    } else if (name == "dA-disc parallel on axis") {
      got = glm::dot(kernel::disc_vector({0, 0, g['h']}, -up, g['r']), up) / pi;
    } else if (name == "dA-disc parallel, offset a") {
      got = glm::dot(kernel::disc_vector({g['a'], 0, g['h']}, -up, g['r']), up) / pi;
    } else if (name.rfind("dA-disc perpendicular planes", 0) == 0) {
      got = kernel::disc_vector({g['a'], 0, g['h']}, -up, g['r']).x / pi;
    } else if (name == "unit cube, opposite") {
      got = parallel_rectangles(1, 1);
      tolerance = 1e-8;  // adaptive rule asked for 1e-9 a cell
    } else if (name == "unit cube, adjacent") {
      got = perpendicular_rectangles(1, 1);
      tolerance = 1e-8;
    } else if (name == "parallel opposed rectangles") {
      // "X=a/c=2 Y=b/c=1": the letters before the numbers are both c, so read them in order
      double x = 0, y = 0;
      REQUIRE(std::sscanf(geometry.c_str(), "X=a/c=%lf Y=b/c=%lf", &x, &y) == 2);
      // one row prints 25/12 and 5/3 with five decimals, and its value belongs to the exact ratios
      if (std::abs(x - 25.0 / 12) < 1e-5) x = 25.0 / 12, y = 5.0 / 3;
      got = parallel_rectangles(x, y);
      tolerance = 1e-8;
    } else if (name == "perpendicular rectangles common edge") {
      double h = 0, w = 0;
      REQUIRE(std::sscanf(geometry.c_str(), "H=h/l=%lf W=w/l=%lf", &h, &w) == 2);
      got = perpendicular_rectangles(h, w);
      tolerance = 1e-8;
    } else if (name == "room 5x4x2.4 floor->ceiling") {
      got = parallel_rectangles(5 / 2.4, 4 / 2.4);
      tolerance = 1e-8;
    } else if (name == "room 5x4x2.4 floor->5m wall") {
      got = perpendicular_rectangles(2.4 / 5, 4.0 / 5);
      tolerance = 1e-8;
    } else if (name == "room 5x4x2.4 floor->4m wall") {
      got = perpendicular_rectangles(2.4 / 4, 5.0 / 4);
      tolerance = 1e-8;
    } else if (name == "dA-triangle (1,0,1),(0,1,1),(0,0,1), normal +z") {
      Polygon triangle;
      triangle.v[0] = {0, 0, 1};
      triangle.v[1] = {1, 0, 1};
      triangle.v[2] = {0, 1, 1};
      triangle.n = 3;
      got = polygon_vector(triangle).z / pi;
    }
    CHECK(found.near(got, value) == Approx(value).margin(tolerance).epsilon(0));
    ++used;
  }
  CHECK(used == 35);
}

TEST_CASE("finite rectangles meet Howell's closed forms at other sizes", "[light]") {
  // Howell C-11 (finite) and C-14 as printed in his catalogue; tolerance: the adaptive rule's 1e-9 a cell.
  for (double x : {0.3, 1.7, 4.0})
    for (double y : {0.5, 2.2}) {
      const double x2 = 1 + x * x, y2 = 1 + y * y;
      const double f = 2 / (pi * x * y) *
                       (std::log(std::sqrt(x2 * y2 / (x2 + y2 - 1))) + x * std::sqrt(y2) * std::atan(x / std::sqrt(y2)) +
                        y * std::sqrt(x2) * std::atan(y / std::sqrt(x2)) - x * std::atan(x) - y * std::atan(y));
      CHECK(parallel_rectangles(x, y) == Approx(f).margin(1e-8).epsilon(0));
    }
  for (double h : {0.4, 1.3})
    for (double w : {0.7, 3.0}) {
      const double h2 = h * h, w2 = w * w, s = std::sqrt(h2 + w2);
      const double f = (w * std::atan(1 / w) + h * std::atan(1 / h) - s * std::atan(1 / s) +
                        0.25 * (std::log((1 + w2) * (1 + h2) / (1 + w2 + h2)) +
                                w2 * std::log(w2 * (1 + w2 + h2) / ((1 + w2) * (w2 + h2))) +
                                h2 * std::log(h2 * (1 + h2 + w2) / ((1 + h2) * (h2 + w2))))) / (pi * w);
      CHECK(perpendicular_rectangles(h, w) == Approx(f).margin(1e-8).epsilon(0));
    }
}

TEST_CASE("unit cube factors to their published digits", "[light]") {
  test::Validated found("unit cube: opposite and adjacent faces", "closed forms 0.199824895698 and 0.200043776075", "1e-9");
  // 0.199824895698 opposite, 0.200043776075 adjacent (closed forms; Howell prints 0.1998 and 0.2000)
  CHECK(found.near(parallel_rectangles(1, 1), 0.199824895698) == Approx(0.199824895698).margin(1e-9).epsilon(0));
  CHECK(found.near(perpendicular_rectangles(1, 1), 0.200043776075) == Approx(0.200043776075).margin(1e-9).epsilon(0));
}

TEST_CASE("a window of even luminance rakes the wall beside it as the table says", "[light]") {
  test::Validated found("raking light of an even window, E_n and E_t", "closed form (Lambert 1760), 9 places", "1e-9 lx for 1 cd/m²", " lx");
  // window_grazing_ratio.csv: x = 0, y 0.2–1.8, z 0.9–2.1 m, point on the wall y = 0; nine digits printed.
  int used = 0;
  for (const auto& row : reference::table("window_grazing_ratio.csv")) {
    const double x = row.number("x_m");
    const dvec3 n(0, 1, 0);
    const dvec3 e = patch_vector({x, 0, 1.5}, &n, {0, 0.2, 0.9}, {0, 1.6, 0}, {0, 0, 1.2}, {1, 0, 0});
    INFO("x " << x);
    CHECK(found.near(e.y, row.number("En_lux_per_cdm2")) == Approx(row.number("En_lux_per_cdm2")).margin(1e-9).epsilon(0));
    CHECK(found.near(-e.x, row.number("Et_x")) == Approx(row.number("Et_x")).margin(1e-9).epsilon(0));
    CHECK(found.near(e.z, row.number("Et_z")) == Approx(row.number("Et_z")).margin(1e-9));
    CHECK(std::hypot(e.x, e.z) / e.y == Approx(row.number("ratio_Et_over_En")).margin(1e-6).epsilon(0));
    CHECK(std::atan2(e.y, std::hypot(e.x, e.z)) * deg_per_rad == Approx(row.number("effective_elevation_deg")).margin(1e-4).epsilon(0));
    ++used;
  }
  CHECK(used == 9);
}

TEST_CASE("a polygon below the horizon is cut, and one half cut gives half", "[light]") {
  const dvec3 n(0, 0, 1);
  // symmetric about the horizon plane: what is cut off has no part in the normal illuminance
  const dvec3 half = patch_vector(dvec3(0), &n, {-1, 2, -1}, {2, 0, 0}, {0, 0, 2}, {0, -1, 0});
  const dvec3 upper = patch_vector(dvec3(0), &n, {-1, 2, 0}, {2, 0, 0}, {0, 0, 1}, {0, -1, 0});
  CHECK(glm::length(half - upper) < 1e-14);
  CHECK(patch_vector(dvec3(0), &n, {-1, 2, -2}, {2, 0, 0}, {0, 0, 1}, {0, -1, 0}) == dvec3(0));
}

TEST_CASE("the disc's light vector has no part that its far form lacks", "[light]") {
  // inverse square law: a disc of area A at distance d sends L A cos / d² along the line to it, within (r/d)²
  const dvec3 to(0.6, -0.3, 2.0), facing(0, 0, -1);
  const double r = 0.002, d2 = glm::dot(to, to);
  const dvec3 e = kernel::disc_vector(to, facing, r);
  const dvec3 far = pi * r * r * to.z / (d2 * d2) * to;
  CHECK(glm::length(e - far) / glm::length(far) < 3 * r * r / d2);
}

TEST_CASE("six-surface room: factors and radiosity as the table", "[light]") {
  test::Validated found("exitance of a room of six faces", "exact radiosity of a 5 × 4 × 2.4 m room", "2e-6 lx", " lx");
  // radiosity_room.csv: exact constant radiosity of a 5 × 4 × 2.4 m room.
  const auto rows = reference::table("radiosity_room.csv");
  REQUIRE(rows.size() == 6);
  const Patch faces[6] = {rectangle({0, 0, 0}, {5, 0, 0}, {0, 4, 0}, {0, 0, 1}),   rectangle({0, 0, 2.4}, {5, 0, 0}, {0, 4, 0}, {0, 0, -1}),
                          rectangle({0, 0, 0}, {5, 0, 0}, {0, 0, 2.4}, {0, 1, 0}), rectangle({0, 4, 0}, {5, 0, 0}, {0, 0, 2.4}, {0, -1, 0}),
                          rectangle({0, 0, 0}, {0, 4, 0}, {0, 0, 2.4}, {1, 0, 0}), rectangle({5, 0, 0}, {0, 4, 0}, {0, 0, 2.4}, {-1, 0, 0})};
  const char* columns[6] = {"F_to_floor", "F_to_ceiling", "F_to_w5a", "F_to_w5b", "F_to_w4a", "F_to_w4b"};
  std::vector<double> f(36, 0.0), rho, own;
  for (int i = 0; i < 6; ++i) {
    rho.push_back(rows[i].number("rho"));
    own.push_back(rows[i].number("M0"));
    for (int j = 0; j < 6; ++j) {
      if (i != j) f[6 * i + j] = form_factor(faces[i], faces[j], 1e-9);
      CHECK(f[6 * i + j] == Approx(rows[i].number(columns[j])).margin(1e-8).epsilon(0));
    }
  }
  const auto b = solve_radiosity(f, rho, own);
  double absorbed = 0, emitted = 0;
  for (int i = 0; i < 6; ++i) {
    double e = 0;
    for (int j = 0; j < 6; ++j) e += f[6 * i + j] * b[j];
    // factors good to 1e-8 carry to 1e-6 lx here
    CHECK(found.near(b[i], rows[i].number("M")) == Approx(rows[i].number("M")).margin(2e-6).epsilon(0));
    CHECK(found.near(e, rows[i].number("E")) == Approx(rows[i].number("E")).margin(2e-6).epsilon(0));
    absorbed += faces[i].area * (1 - rho[i]) * e;
    emitted += faces[i].area * own[i];
  }
  CHECK(emitted == Approx(2000));
  CHECK(absorbed == Approx(2000).margin(1e-4).epsilon(0));
}

TEST_CASE("furnace: own exitance 1 - rho gives exitance 1, whatever the reflectances", "[light]") {
  test::Validated found("furnace: exitance of a closed room", "1, whatever the reflectances", "1e-12");
  // follows from closure alone: B = (1 - rho) + rho sum F = 1
  const double o = 0.199824895698, a = (1 - o) / 4;
  std::vector<double> f(36, a), rho{0.05, 0.5, 0.9, 0.99, 0.3, 0.0}, own;
  for (int i = 0; i < 6; ++i) {
    f[7 * i] = 0;
    f[6 * i + (i ^ 1)] = o;
    own.push_back(1 - rho[i]);
  }
  for (double b : solve_radiosity(f, rho, own)) CHECK(found.near(b, 1) == Approx(1).margin(1e-12).epsilon(0));
  // unit cube, rho 0.5, one face emits 1: the mean of E is (1/6)/(1 - rho) = 1/3
  const auto b = solve_radiosity(f, std::vector<double>(6, 0.5), {1, 0, 0, 0, 0, 0});
  double mean = 0;
  for (int i = 0; i < 6; ++i)
    for (int j = 0; j < 6; ++j) mean += f[6 * i + j] * b[j] / 6;
  CHECK(found.near(mean, 1.0 / 3) == Approx(1.0 / 3).margin(1e-12).epsilon(0));
}
