// Which joints show in every hour of a year, under one kind of sky (physics 2, "Year").
//
// Under a named sky all light from outside depends on where the sun stands and on nothing else. So what changes slowly
// with the sun is worked out once, on grids over its hour angle and declination: sky, ground and bounce at every station, the
// sheen they make to each eye, the glare. The sun itself, which windows let it through to which part of a joint's section, and
// what it does to the paint are exact at every step. Visibility is |change of luminance per slope / luminance| × K(joint,
// station, viewer, luminance), K the visibility of the joint's own slopes; where the sun lies on a part of the section alone, what it
// lights and what it leaves dark are pooled as the eye pools what it sees apart.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "assess/assess.h"

namespace rakelight {

/// Where a joint stands at one position of the sun.
struct YearLook {
  double visibility = 0;         ///< with the job's gain; 0 when nobody sees it
  double raking_ratio = 0;       ///< where it is seen best; set by sweep_year alone
  double along = 0;              ///< where that is, m along the joint
  int viewer = 0;
};

/// The light basis of a year: patches of 0.5 m, no fields. What its coarseness costs is held by the tests of the year's hours; where the
/// study's patches are smaller, YearModel asks these too, for light close to corners.
std::shared_ptr<const LightBasis> year_basis(const Study& study);

/// The tables for one kind of sky (ISO 15469, 1..15). Lamps are off.
class YearModel {
 public:
  /// The study outlives the model.
  /// `basis`: year_basis of the study, where one is there already; it goes for every sky.
  YearModel(const Study& study, int sky_type, std::shared_ptr<const LightBasis> basis = nullptr);
  ~YearModel();
  YearModel(YearModel&&) noexcept;

  /// Boarded faces, and each one's joints, in order; `looks` below follows both.
  const std::vector<int>& surfaces() const;
  const std::vector<std::vector<PlacedJoint>>& joints() const;
  /// Where a joint is looked at, m along it, ascending. First every 50 mm of the stretches that assess searches (assess/search.h), in
  /// jobs with more than 80 m of joints so much further apart that there are some 1,600 in all; kept are those at which some eye sees
  /// the joint best, or nearly so, at some place of the sun, and those beside them. face: index into surfaces().
  const std::vector<double>& stations(int face, int joint) const;
  /// Per face and joint, with the sun at a place of its daily course. Between stations V goes by a parabola in its logarithm.
  void look(DaySun::Place sun, std::vector<std::vector<YearLook>>& looks) const;
  /// The light vector at a joint, lx in the face's frame: at a station, between two in proportion.
  LightVector light(DaySun::Place sun, int face, int joint, double along) const;

  struct Parts;
  const Parts& parts() const { return *parts_; }

 private:
  std::unique_ptr<Parts> parts_;
};

/// A stretch of time with one verdict, faint or shows. Times are Julian dates, UT.
struct YearRun {
  double from = 0, to = 0;
  Verdict verdict = Verdict::faint;
  double visibility = 0, raking_ratio = 0;  ///< the most in it, and the ratio then
  int joint = 0;                            ///< which one it was
  double along = 0;                         ///< where it was seen best, m along it
  double most_at = 0;                       ///< when
  double hours() const { return 24 * (to - from); }
};

struct YearDay {
  int month = 1, day = 1;
  double from = 0, to = 0;                  ///< midnight to midnight on the site's clocks
  double sunrise = 0, sunset = 0;           ///< NaN where the sun does not cross −0.833° that day
  bool light = false;                       ///< the sun is up at noon: with neither rise nor set, polar day or night
  std::vector<std::vector<YearRun>> runs;   ///< per face, of its most visible joint
};

struct YearJoint {
  std::string id;
  double shows_hours = 0, faint_hours = 0;  ///< in the year
  YearLook worst;                           ///< by full looks, where it may be seen at all
  double worst_at = 0;
};

struct YearFace {
  int surface = 0;
  double shows_hours = 0, faint_hours = 0;
  int shows_days = 0;
  std::vector<YearJoint> joints;            ///< as in the layout
  double expected_shows_hours = -1;         ///< weighted by a climate (weigh); −1 where there was none
};

struct Year {
  int year = 2026;
  int sky_type = clear_type;
  std::vector<YearFace> faces;
  std::vector<YearDay> days;
  long steps = 0;                           ///< positions of the sun that were looked at
};

/// Sweeps a year. Steps: while the sun reaches a station or an eye, at most 3 minutes, and so short that its elevation over a face's plane changes by
/// at most 0.2 of itself within 20° of that plane; else 12 minutes, from −9° on (a tenth of a lux outside), or 24 while no window faces the sun and it
/// stands over 6°. The instants at which the edge of its disc enters and leaves each station and each eye are found to 2 s, where the V of a joint
/// that they change is about a limit or within 1.2 of that joint's highest of the day. Between steps visibility goes evenly in its logarithm;
/// where a face passes a limit, steps are cut until that foretells the cut within 0.02, or they last 8 s. The worst of each joint that may be
/// seen is looked at again as assess does, at its moment.
/// Needs the site's place and time zone.
Year sweep_year(const Study& study, const YearModel& model, int year);

/// A face under lamps alone, at the worst of the job's moments without sky; without any, under all its lamps (that moment is
/// then added to the study). Judged exactly, by assess_surface. Empty without lamps.
struct LampsAlone { int surface = 0; std::string moment, joint; Judged judged; };
std::vector<LampsAlone> lamps_alone(Study& study);

/// Hours in which a face shows, expected under a climate: an hour counts as clear by its share of sunshine, else as overcast.
/// Sets expected_shows_hours of `clear`, whose faces are those of `overcast`.
void weigh(const Study& study, const Climate& climate, Year& clear, const Year& overcast);
/// How likely a moment is clear under the climate: sunshine_share, without the sun 1 − cover, without that 0.
double clear_share(const Study& study, const Climate& climate, double jd_ut);

}  // namespace rakelight
