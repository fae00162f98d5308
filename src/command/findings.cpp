// assess, check, new, probe, profile, sight: what is said in words and numbers.
#include <fmt/format.h>
#include <ostream>

#include <filesystem>

#include "advice/advice.h"
#include "base/text.h"
#include "base/units.h"
#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "joint/dates.h"
#include "joint/fit.h"
#include "report/report.h"

namespace rakelight {
namespace {

/// The highest verdict of any joint.
Verdict worst_verdict(const Assessment& assessment) {
  Verdict worst = Verdict::hidden;
  for (const SurfaceResult& surface : assessment.surfaces)
    for (const JointResult& joint : surface.joints)
      for (const Seen& seen : joint.seen) worst = std::max(worst, seen.judged.verdict);
  return worst;
}

std::string title_of_job(const std::string& path) { return path == "-" ? "standard input" : std::filesystem::path(path).filename().string(); }

const PlacedJoint& find_joint(const std::vector<Relief>& reliefs, const std::string& id) {
  std::vector<std::string> ids;
  for (const Relief& relief : reliefs)
    for (const PlacedJoint& joint : relief.joints) {
      if (joint.line.id == id) return joint;
      ids.push_back(joint.line.id);
    }
  const std::string near = nearest_word(id, ids);
  std::string message = fmt::format("no joint has the id \"{}\"", id);
  message += near.empty() ? "; the job has:" : fmt::format(": did you mean \"{}\"? The job has:", near);
  for (const std::string& i : ids) message += " " + i;
  throw Failure(Exit::usage, message + "\n");
}

/// What the coats were made of, and how to read the heights: the lines below a drawing.
std::vector<std::string> notes_on(const Recipe& recipe) {
  std::vector<std::string> blades, notes;
  for (double t : recipe.tools) blades.push_back(fixed_text(t * mm_per_m, 0) + " mm");
  notes.push_back(fmt::format("Compound: {}. Blades owned: {}. Crown, laps and tape edge are estimates for this workmanship, not measurements.",
                              fmt::join(recipe.compound, ", "), fmt::join(blades, ", ")));
  if (has_step(recipe.kind)) notes.push_back("Where the faces differ by a step, heights are measured from the line that leads evenly from one face to the other.");
  return notes;
}

/// How well a measured section is known.
std::string note_on(const FittedSection& fit) {
  return fmt::format("Measured: noise {} mm, crown ± {} mm (standard deviations); coats are not known.", fixed_text(fit.noise * mm_per_m, 3),
                     fixed_text(fit.crown_sd * mm_per_m, 3));
}

/// Every kind of joint at a level, by each workmanship.
Drawing plate_of(const Scheme& scheme, const Level& level) {
  const std::vector<std::string> hands{"careful", "everyday", "rough"};
  std::vector<PlateRow> rows;
  for (const std::string& name : kind_names()) {
    PlateRow& row = rows.emplace_back();
    row.name = name;
    const JointKind kind = *kind_named(name);
    for (const std::string& hand : hands) {
      row.sections.push_back(typical_section(kind, level, *workmanship(hand)));
      if (joins_sheets(kind)) row.later.push_back(peaked(row.sections.back(), season().peaking.usual, season().peak_width));
      if (kind == JointKind::fixings) row.later.push_back(peaked(row.sections.back(), season().pops.usual, season().pop_width));
    }
  }
  return section_plate(fmt::format("Joints by {} level {}", scheme.id, level.id), hands, rows);
}

void write_drawing(const Drawing& drawing, const std::string& path, const Streams& streams) {
  const std::string ending = std::filesystem::path(path).extension().string();
  if (ending != ".svg" && ending != ".png") throw Failure(Exit::usage, fmt::format("-o {}: a drawing ends in .svg or .png\n", path));
  write_file(path, ending == ".svg" ? svg_text(drawing) : drawing_png(drawing));
  if (streams.verbosity > 0) streams.err << path << " written\n";
}

}  // namespace

void assess_command(const AssessOptions& options, const Streams& streams) {
  const PaintStage stage = *stage_named(options.stage);
  if (stage != PaintStage::painted && !options.fail_on.empty())
    throw Failure(Exit::usage, fmt::format("--fail-on rules on the finished work: it goes with --stage painted, not {}\n", options.stage));
  const std::unique_ptr<Study> study = load_study(options.job, streams, stage);
  const Assessment assessment = assess(*study);
  const Advice advice = stage == PaintStage::painted ? advise(*study, assessment) : Advice();
  const Counsel cures = stage == PaintStage::painted ? counsel(*study, assessment, advice) : Counsel();
  streams.out << (options.json ? assess_json(*study, assessment, advice, cures, title_of_job(options.job)) : assess_text(*study, assessment, advice, cures, streams.colour));
  if (options.fail_on.empty()) return;
  const Verdict limit = options.fail_on == "faint" ? Verdict::faint : Verdict::shows;
  if (worst_verdict(assessment) >= limit) throw Failure(Exit::exceeded, fmt::format("a joint is {} (--fail-on {})\n", verdict_text(worst_verdict(assessment)), options.fail_on));
}

void check_command(const std::string& job, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(job, streams);
  std::size_t joints = 0;
  for (const Layout& layout : study->layouts) joints += layout.joints.size();
  if (streams.verbosity > 0)
    streams.err << fmt::format("{}: no errors; {} faces, {} windows, {} lamps, {} joints, {} times, {} places to stand\n", job, study->room.surfaces.size(),
                               study->room.windows.size(), study->job.lamps.size(), joints, study->moments.size(), study->viewers.size());
}

void new_command(const std::string& path, const Streams& streams) {
  if (std::filesystem::exists(path)) throw Failure(Exit::cannot_read_or_write, fmt::format("{} is there already; it was left as it is\n", path));
  write_file(path, starter_job());
  if (streams.verbosity > 0) streams.err << fmt::format("{} written; next: rakelight assess {}\n", path, path);
}

void probe_command(const ProbeOptions& options, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(options.job, streams);
  const int surface = find_surface(study->room, options.surface);
  const dvec2 p = options.at_mm * m_per_mm;
  const Surface& face = study->room.surfaces[surface];
  if (!face.contains(p))
    throw Failure(Exit::usage, fmt::format("{},{} is not on {}: it spans {},{} to {},{} mm\n", number_text(options.at_mm.x), number_text(options.at_mm.y), face.name,
                                           fixed_text(face.box.lo.x * mm_per_m, 0), fixed_text(face.box.lo.y * mm_per_m, 0), fixed_text(face.box.hi.x * mm_per_m, 0),
                                           fixed_text(face.box.hi.y * mm_per_m, 0)));
  for (const Window& window : study->room.windows)
    if (window.surface == surface && window.opening.contains(p)) throw Failure(Exit::usage, fmt::format("that point of {} lies in window {}\n", face.name, window.name));
  const int moment = find_moment(*study, options.moment);
  streams.out << (options.json ? probe_json(*study, surface, p, moment) : probe_text(*study, surface, p, moment));
}

void profile_command(const ProfileOptions& options, const Streams& streams) {
  Section section;
  std::string heading;
  std::vector<std::string> notes, known;
  Units units = Units::millimetre;  // of the job, where there is one
  if (!options.job.empty()) {
    if (options.joint.empty()) throw Failure(Exit::usage, "profile JOB needs --joint ID (ids as assess prints them)\n");
    const std::unique_ptr<Study> study = load_study(options.job, streams);
    units = study->job.units;
    const std::vector<Relief> reliefs = make_reliefs(*study);
    const PlacedJoint& joint = find_joint(reliefs, options.joint);
    section = joint.section;
    if (joint.measured) {
      heading = fmt::format("{}: {}, measured, {} points", joint.line.id, kind_text(joint.line.kind), joint.measured->points);
      notes = known = {note_on(*joint.measured)};
    } else {
      heading = fmt::format("{}: {}, level {}, {} workmanship", joint.line.id, kind_text(joint.line.kind), joint.recipe.level.id, study->work.name);
      notes = notes_on(joint.recipe);
    }
    notes.push_back(*study->job.title);
  } else {
    if (options.kind.empty()) throw Failure(Exit::usage, "profile needs JOB --joint ID, or --kind KIND with --scheme and --level\n");
    const std::optional<Scheme> found = scheme(options.scheme);  // a file of one's own goes with a job
    if (!found) throw Failure(Exit::usage, fmt::format("no scheme is named \"{}\"; known: {}\n", options.scheme, fmt::join(scheme_ids(), ", ")));
    const Level* level = found->find(options.level);
    if (!level) throw Failure(Exit::usage, fmt::format("scheme {} has no level \"{}\"\n", options.scheme, options.level));
    const std::optional<Workmanship> work = workmanship(options.workmanship);
    if (!work) throw Failure(Exit::usage, fmt::format("workmanship is careful, everyday or rough, not \"{}\"\n", options.workmanship));
    if (options.kind == "all") {
      if (options.output.empty()) throw Failure(Exit::usage, "--kind all is a drawing: name it with -o F.svg or -o F.png\n");
      write_drawing(plate_of(*found, *level), options.output, streams);
      return;
    }
    const std::optional<JointKind> kind = kind_named(options.kind);
    if (!kind) throw Failure(Exit::usage, fmt::format("no kind of joint is named \"{}\"; known: {}\n", options.kind, fmt::join(kind_names(), ", ")));
    section = typical_section(*kind, *level, *work);
    heading = fmt::format("{}, {} level {}, {} workmanship", options.kind, options.scheme, options.level, options.workmanship);
    heading[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(heading[0])));
    const Recipe recipe = typical_recipe(*kind, *level);
    notes = notes_on(recipe);
  }
  if (!options.output.empty()) {
    write_drawing(section_drawing(section, heading, notes, units), options.output, streams);
    return;
  }
  streams.out << (options.csv ? profile_csv(section) : profile_text(section, heading, known, units));
}

void sight_command(const SightOptions& options, const Streams& streams) {
  const double width = options.width_mm * m_per_mm, distance = options.distance_mm * m_per_mm;
  streams.out << (options.json ? sight_json(options.luminance, width, distance) : sight_text(options.luminance, width, distance));
}

}  // namespace rakelight
