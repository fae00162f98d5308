#include "job/names.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "job/table_reader.h"

namespace rakelight {
namespace {

constexpr std::array<std::string_view, 3> reserved{"wall", "ceiling", "floor"};

/// Every name once: the second of two is the error, the first the other place.
class Distinct {
 public:
  Distinct(std::string what, Diagnostics& diagnostics) : what_(std::move(what)), diagnostics_(diagnostics) {}
  void add(const Key<std::string>& name) {
    if (name->empty()) return;
    for (const Key<std::string>* earlier : names_)
      if (**earlier == *name) {
        diagnostics_.error(name.at, what_ + " \"" + *name + "\" is there twice", "a name of its own", earlier->at, "the first one is here");
        return;
      }
    names_.push_back(&name);
  }

 private:
  std::string what_;
  Diagnostics& diagnostics_;
  std::vector<const Key<std::string>*> names_;
};

/// Reports `name` unless it is known. A name that could not be read is empty and has been reported.
void refer(const std::string& name, Span at, const std::string& what, const std::vector<std::string>& known, Diagnostics& diagnostics) {
  if (name.empty() || std::find(known.begin(), known.end(), name) != known.end()) return;
  diagnostics.error(at, what + " \"" + name + "\" does not exist", suggestion(name, known));
}

void check_walls(const RoomSpec& room, Diagnostics& diagnostics) {
  Distinct walls("wall", diagnostics);
  for (const Key<std::string>& wall : room.walls) {
    if (std::find(reserved.begin(), reserved.end(), *wall) != reserved.end())
      diagnostics.error(wall.at, "a wall cannot be called \"" + *wall + "\"", "any name but \"wall\", \"ceiling\" and \"floor\"");
    else if (wall->find('/') != std::string::npos)
      diagnostics.error(wall.at, "a wall's name cannot contain \"/\"", "a name without it: joints are named wall/joint");
    walls.add(wall);
  }
}

void check_runs(const Job& job, const std::vector<std::string>& walls, Diagnostics& diagnostics) {
  for (const SurfaceSpec& s : job.surfaces) {
    if (!s.run.given || s.name->empty()) continue;
    if (*s.name == "ceiling") {
      refer(s.run_wall, s.run.at, "run of the ceiling: wall", walls, diagnostics);
    } else if (*s.run == RunSpec::towards_wall && std::find(walls.begin(), walls.end(), *s.name) != walls.end()) {
      diagnostics.error(s.run.at, "run of a wall cannot be \"" + s.run_wall + "\"",
                        suggestion(s.run_wall, {"horizontal", "upright", "auto"}));
    }
  }
}

}  // namespace

void check_names(const Job& job, const std::vector<Mention>& lamp_mentions, Diagnostics& diagnostics) {
  check_walls(job.room, diagnostics);
  Distinct windows("window", diagnostics), lamps("lamp", diagnostics), surfaces("surface", diagnostics),
      joints("joint", diagnostics), moments("moment", diagnostics), viewers("viewer", diagnostics);
  for (const auto& w : job.windows) windows.add(w.name);
  for (const auto& l : job.lamps) lamps.add(l.name);
  for (const auto& s : job.surfaces) surfaces.add(s.name);
  for (const auto& j : job.joints) joints.add(j.id);
  for (const auto& m : job.moments) moments.add(m.name);
  for (const auto& v : job.viewers) viewers.add(v.name);

  std::vector<std::string> lamp_names;
  for (const auto& l : job.lamps) lamp_names.push_back(*l.name);
  for (const auto& l : job.lamps)
    if (!l.group->empty() && std::find(lamp_names.begin(), lamp_names.end(), *l.group) == lamp_names.end()) lamp_names.push_back(*l.group);
  for (const auto& [name, at] : lamp_mentions) refer(name, at, "lamp or group", lamp_names, diagnostics);

  if (job.room.walls.empty()) return;  // the room has been reported; its names are unknown
  std::vector<std::string> walls;
  for (const auto& wall : job.room.walls) walls.push_back(*wall);
  std::vector<std::string> boarded = walls, faces = walls;
  boarded.emplace_back("ceiling");
  faces.insert(faces.end(), {"ceiling", "floor"});
  for (const auto& w : job.windows) refer(*w.wall, w.wall.at, "wall", boarded, diagnostics);
  for (const auto& d : job.doors) refer(*d.wall, d.wall.at, "wall", walls, diagnostics);
  if (job.site.seen.given) refer(job.site.seen->wall, job.site.seen.at, "wall", walls, diagnostics);
  for (const auto& s : job.surfaces) refer(*s.name, s.name.at, "surface", boarded, diagnostics);
  for (const auto& v : job.viewers)
    if (!v.look_point) refer(*v.look, v.look.at, "surface", faces, diagnostics);
  check_runs(job, walls, diagnostics);
}

}  // namespace rakelight
