// How likely a joint shows, as a function of where on a face it lies: looked at in a handful of places for each direction and each of the
// two kinds of joint, so that scoring a layout needs no light any more.
#pragma once
#include <array>
#include <functional>
#include <string>
#include <vector>

#include "assess/assess.h"

namespace rakelight {

/// Judges a face whose joints are those of a layout of one's own, finished to `level`: [[joint]] entries of the face are left out. With
/// `at_middles` each joint is looked at in its middle alone, from every viewer at every moment.
SurfaceResult assess_layout(const Study& study, int surface, const Layout& layout, const std::string& level, bool at_middles = false);

/// What the sheets of a face make: a long joint or one of their ends.
enum class JointClass { long_edge, end };

class ShowField {
 public:
  /// Looks, at every moment of the study and from every viewer of the face, at short joints (0.5 m: as long as the eye pools over)
  /// at the nodes of a grid at most 1 m wide (seven nodes at most along it, four up), finished to `level`, with the chance over workmanship and gain that they
  /// show. Between nodes it is bilinear; where there is no board to look at the nearest node stands in.
  ShowField(const Study& study, int surface, const std::string& level);
  /// Any other chances, each 0 to 1, at a place of the face's frame.
  using Chance = std::function<double(JointClass, bool along_x, dvec2)>;
  ShowField(Rect box, const Chance& chance);

  /// Expected metres that show of a joint along x at y, or along y at x; from ≤ to, m. Two sums are looked up.
  double along_x(JointClass c, double y, double from, double to) const { return sum(c, true, y, from, to); }
  double along_y(JointClass c, double x, double from, double to) const { return sum(c, false, x, from, to); }
  double of(const JointLine& line) const;
  /// The mean over the face.
  double mean(JointClass c, bool along_x) const;
  int looks() const { return looks_; }

 private:
  struct Table { double first = 0, start = 0; int lines = 0, cells = 0; std::vector<double> sums; };
  static std::size_t index(JointClass c, bool along_x) { return (c == JointClass::end ? 2u : 0u) + (along_x ? 0u : 1u); }
  const Table& table(JointClass c, bool along_x) const { return tables_[index(c, along_x)]; }
  double sum(JointClass c, bool along_x, double across, double from, double to) const;
  void fill(Rect box, const Chance& chance);
  std::array<Table, 4> tables_;
  Rect box_;
  int looks_ = 0;
};

}  // namespace rakelight
