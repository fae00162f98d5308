#include "advice/reasons.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "advice/standard.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

std::string band_text(const Judged& j) {
  return "V " + two_digits(j.visibility) + ", band " + two_digits(j.low) + "–" + two_digits(j.high);
}

std::string capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string counted(int n, const std::string& noun) { return std::to_string(n) + " " + noun + (n == 1 ? "" : "s"); }

std::string finish_name(const Study& study, int surface, const Finish& finish) {
  return run_text(study.room, surface, finish.run) + " at level " + finish.level;
}

std::string worst_place(const Option& o) {
  return "worst " + o.worst_joint + " in \"" + o.worst_moment + "\" from " + o.worst_viewer + " (" + band_text(o.judged) + ")";
}

// What an option comes to, without its name.
std::string outcome(const Option& o) {
  if (o.joints == 0) return "no joints";
  if (o.worst_joint.empty()) return counted(o.joints, "joint") + ", none in sight from where anybody stands";
  std::string text;
  if (o.showing > 0) text = std::to_string(o.showing) + " of " + counted(o.joints, "joint") + (o.showing == 1 ? " shows" : " show");
  else if (o.faint > 0)
    text = std::to_string(o.faint) + " of " + counted(o.joints, "joint") + " faint, to be found by someone who knows where to look";
  else
    text = counted(o.joints, "joint") + ", not expected to be noticed";
  return text + ", " + chance_text(o.chance_any_shows) + " that any shows; " + worst_place(o);
}

std::string hours(const Option& o) {
  return fixed_text(o.cost.hours.low, 1) + "–" + fixed_text(o.cost.hours.high, 1) + " hours (estimate)";
}

double gloss60_of(const PaintSpec& paint) {
  const auto known = paint_class(*paint.name);
  return known ? known->gloss60 : *paint.gloss60;
}

// The strongest across ratio that any joint of a kind feels, and how many there are.
struct Raked { int joints = 0; double across = 0; const JointResult* joint = nullptr; int moment = -1; };
Raked raked(const SurfaceResult& result, bool ends) {
  Raked r;
  for (const auto& joint : result.joints) {
    if (ends ? !is_end(joint.joint.line.kind) : !is_long(joint.joint.line.kind)) continue;
    ++r.joints;
    for (const auto& seen : joint.seen)
      if (std::isfinite(seen.across_ratio) && std::abs(seen.across_ratio) > r.across)
        r = {r.joints, std::abs(seen.across_ratio), &joint, seen.moment};
  }
  return r;
}

std::string raked_text(const Study& study, const Raked& r, const std::string& noun) {
  if (r.joints == 0) return "no " + noun + " joints";
  std::string text = counted(r.joints, noun + " joint");
  if (r.joint)
    text += " that the light crosses at up to " + two_digits(r.across) + " to 1 (" + r.joint->joint.line.id + ", \"" +
            study.moments[r.moment].name + "\")";
  return text;
}

class Writer {
 public:
  Writer(const Study& study, const SurfaceAdvice& advice, const std::vector<SurfaceResult>& results)
      : study_(study), advice_(advice), results_(results) {}

  std::vector<std::string> write() {
    recommendation();
    as_asked();
    direction();
    system();
    film();
    published();
    backing();
    framing();
    tolerance();
    return std::move(sentences_);
  }

 private:
  const Option& option(int i) const { return advice_.options[i]; }
  std::string name(int i) const { return capital(finish_name(study_, advice_.surface, option(i).finish)); }
  void say(const std::string& sentence) { sentences_.push_back(sentence + "."); }

  int find(Run run, const std::string& level) const {
    for (int i = 0; i < static_cast<int>(advice_.options.size()); ++i)
      if (option(i).finish.run == run && option(i).finish.level == level) return i;
    return -1;
  }

  void recommendation() {
    if (advice_.best < 0) return;
    const Option& best = option(advice_.best);
    const std::string aim = chance_text(*study_.job.verdict.chance);
    say(name(advice_.best) + (advice_.best == advice_.as_asked ? ", as asked: " : ": ") + outcome(best) + "; " + hours(best));
    if (!advice_.reached)
      say("Neither sheet direction, at any level of the scheme meant for smooth paint, keeps the chance that a joint shows within " + aim +
          ": it takes another light (a lamp or window further from this surface, or covered at those times), butt "
          "joints backed and sprung in, or sheets long enough to do without them; the recommendation is only the least "
          "likely to show");
  }

  void as_asked() {
    if (advice_.as_asked < 0 || advice_.as_asked == advice_.best) return;
    const Option& asked = option(advice_.as_asked);
    say("As asked, " + finish_name(study_, advice_.surface, asked.finish) + ": " + outcome(asked) + "; " + hours(asked));
    if (advice_.best >= 0 && advice_.reached && asked.for_paint && asked.chance_any_shows <= *study_.job.verdict.chance)
      say("As asked is within the aim as well; the recommendation is less work");
  }

  std::string long_word() const {
    const int spec = study_.room.surfaces[advice_.surface].spec;
    return spec >= 0 && *study_.job.surfaces[static_cast<std::size_t>(spec)].edge != EdgeSpec::recessed ? "long" : "recessed";
  }

  // The two directions at the level that is recommended, so that nothing but the direction differs.
  void direction() {
    if (advice_.best < 0) return;
    const std::string level = option(advice_.best).finish.level;
    const int flat = find(Run::horizontal, level), up = find(Run::upright, level);
    if (flat < 0 || up < 0) return;
    for (const int i : {flat, up}) {
      const Raked recessed = raked(results_[i], false), butt = raked(results_[i], true);
      std::string text = capital(run_text(study_.room, advice_.surface, option(i).finish.run)) + " leaves " +
                         raked_text(study_, recessed, long_word()) + " and " + raked_text(study_, butt, "butt");
      if (recessed.joint && butt.joint && recessed.across < 0.5 * butt.across)
        text += ": the long joints lie along the light, the butts square across it";
      else if (recessed.joint && butt.joint && butt.across < 0.5 * recessed.across)
        text += ": the butts lie along the light, the long joints across it";
      say(text);
    }
    const Option &a = option(flat), &b = option(up);
    if (a.worst_joint.empty() || b.worst_joint.empty()) return;
    const double ratio = a.judged.visibility / std::max(b.judged.visibility, 1e-9);
    if (ratio > 0.8 && ratio < 1.25)
      say("Turning the sheets changes little at level " + level + ": worst V " + two_digits(a.judged.visibility) + " against " +
          two_digits(b.judged.visibility));
  }

  // A tested system comes first: its direction, backing and fixing are not ours to advise on (physics 5).
  void system() {
    const int spec = study_.room.surfaces[advice_.surface].spec;
    const SystemSpec part_of = spec < 0 ? SystemSpec::none : *study_.job.surfaces[static_cast<std::size_t>(spec)].system;
    if (part_of == SystemSpec::none) return;
    const char* names[] = {"", "fire", "acoustic", "bracing", "wet-area"};
    const bool ceiling = study_.room.surfaces[advice_.surface].kind == Surface::Kind::ceiling;
    say(std::string("It is part of a tested ") + names[static_cast<int>(part_of)] +
        " system: sheet direction, joints on framing, backing, fixing and compound come from that system, and only width, level, paint and light are advised on" +
        (ceiling ? "; no new recessed lamp goes in without asking whoever answers for the system" : ""));
  }

  void film() {
    const int reference = advice_.best >= 0 ? advice_.best : advice_.as_asked;
    if (reference < 0) return;
    const Run run = option(reference).finish.run;
    for (std::size_t k = 1; k < study_.scheme.levels.size(); ++k) {
      const Level &less = study_.scheme.levels[k - 1], &more = study_.scheme.levels[k];
      if (!(more.skim > 0) || less.skim > 0) continue;
      const int before = find(run, less.id), after = find(run, more.id);
      if (before < 0 || after < 0 || option(before).worst_joint.empty()) continue;
      const double v0 = option(before).judged.visibility, v1 = option(after).judged.visibility;
      say("The film of level " + more.id + " takes lap marks and tape edges away but not the crown: worst V " + two_digits(v0) + " to " +
          two_digits(v1) + ", " + hours(option(before)) + " to " + hours(option(after)));
    }
  }

  // What the scheme itself says of this paint in this light.
  void published() {
    const int spec = study_.room.surfaces[advice_.surface].spec;
    if (advice_.as_asked < 0 || spec < 0) return;
    double hardest = 0;
    for (const JointResult& joint : results_[advice_.as_asked].joints)
      for (const Seen& seen : joint.seen)
        if (std::isfinite(seen.raking_ratio)) hardest = std::max(hardest, seen.raking_ratio);
    const bool critical = hardest >= critical_ratio;
    const double gloss60 = gloss60_of(study_.job.surfaces[spec].paint);
    const Level& asked = *study_.scheme.find(option(advice_.as_asked).finish.level);
    const auto named = [](const Level& l) { return !l.uses.empty(); };
    if (std::none_of(study_.scheme.levels.begin(), study_.scheme.levels.end(), named)) return;
    const std::string here = "smooth paint of " + fixed_text(gloss60, 0) + " gloss units at 60° in " +
                             (critical ? "critical light (raking ratio " + two_digits(hardest) + ")" : "ordinary light");
    const Level* least = study_.scheme.published_for(gloss60, critical);
    if (!least) {
      say("No level of " + study_.scheme.id + " is published for " + here + ": less sheen, or another light");
      return;
    }
    if (&asked >= least) return;
    const auto use = std::find_if(least->uses.begin(), least->uses.end(), [&](const PublishedUse& u) { return u.gloss60 >= gloss60 && (u.critical || !critical); });
    say("For " + here + " the scheme names level " + least->id + " (" + use->ground.source + ", " + use->ground.confidence + "), not " + asked.id +
        ", which is meant for: " + asked.use);
  }

  void backing() {
    if (advice_.as_asked < 0 || study_.room.surfaces[advice_.surface].kind != Surface::Kind::ceiling || study_.room.surfaces[advice_.surface].spec < 0) return;
    const Level& asked = *study_.scheme.find(option(advice_.as_asked).finish.level);
    if (!asked.backing) return;
    const bool ends = asked.backing->joints == "butts";
    const BackingSpec has = *study_.job.surfaces[study_.room.surfaces[advice_.surface].spec].backing;
    if (has == BackingSpec::both || has == (ends ? BackingSpec::butts : BackingSpec::recessed)) return;
    const auto& joints = results_[advice_.as_asked].joints;
    const auto count = std::count_if(joints.begin(), joints.end(), [&](const JointResult& j) { return ends ? is_end(j.joint.line.kind) : is_long(j.joint.line.kind); });
    if (count >= asked.backing->from)
      say("Level " + asked.id + " asks for backing: " + asked.backing->text + " (" + asked.backing->ground.source + ", " +
          asked.backing->ground.confidence + "); here are " + std::to_string(count));
  }

  void framing() {
    if (advice_.as_asked < 0) return;
    const SurfaceResult& asked = results_[advice_.as_asked];
    const Level& level = *study_.scheme.find(option(advice_.as_asked).finish.level);
    if (!asked.substrate) return;
    const auto governed = std::count_if(asked.joints.begin(), asked.joints.end(), [](const JointResult& j) { return j.framing_governs(); });
    if (governed > 0)
      say("The framing governs at " + std::to_string(governed) + " of " + counted(static_cast<int>(asked.joints.size()), "joint") +
          ": plane the studs that stand proud and pack the hollow ones before boarding; neither a wider joint nor a film cures that");
    if (!level.framing || level.framing->between_members) return;
    const dvec2 own = *study_.job.framing.flatness;
    const FramingLimit& limit = *level.framing;
    if (own.x / own.y > 1.02 * limit.gap / limit.base)
      say("The framing is promised to " + fixed_text(own.x * mm_per_m, 1) + " mm under " + fixed_text(own.y * mm_per_m, 0) + " mm; level " + level.id + " asks for " +
          fixed_text(limit.gap * mm_per_m, 1) + " mm under " + fixed_text(limit.base * mm_per_m, 0) + " mm (" + limit.ground.source + ", " + limit.ground.confidence + ")");
  }

  void tolerance() {
    if (advice_.as_asked < 0) return;
    const JointResult* worst = results_[advice_.as_asked].worst();
    if (!worst || worst->straightedge.empty() || worst->seen[worst->worst].judged.verdict != Verdict::shows) return;
    const auto reading = [&](const StraightedgeReading& r) {
      return worst->joint.line.id + " reads " + fixed_text(r.gap * mm_per_m, 1) + " mm under " + fixed_text(r.limit->base * mm_per_m, 0) + " mm";
    };
    const auto failed = std::find_if(worst->straightedge.begin(), worst->straightedge.end(), [](const auto& r) { return !r.ok; });
    if (failed == worst->straightedge.end())
      say("In tolerance is not invisible: as asked, " + reading(worst->straightedge.front()) +
          ", inside every published limit looked at, and shows");
    else say("As asked, " + reading(*failed) + ", out of tolerance by " + failed->limit->text);
  }

  const Study& study_;
  const SurfaceAdvice& advice_;
  const std::vector<SurfaceResult>& results_;
  std::vector<std::string> sentences_;
};

}  // namespace

std::vector<std::string> reasons_for(const Study& study, const SurfaceAdvice& advice, const std::vector<SurfaceResult>& results) {
  return Writer(study, advice, results).write();
}

}  // namespace rakelight
