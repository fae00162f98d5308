// What a setting-out's drawing and its lists both ask of a face.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "report/setting_out.h"

namespace rakelight {

/// "B1" of "long/B1".
std::string short_id(const std::string& id);
/// Of a joint of the judged layout; nothing where none was judged.
std::optional<Verdict> verdict_of(const SettingOut& face, const std::string& id);
/// The joints with their sections: as judged, else as the level makes them.
Relief relief_of(const SettingOut& face);
/// Those between sheets; they point into the relief.
std::vector<const PlacedJoint*> placed(const Relief& relief);
/// The stock sheet that a sheet is cut from; null where nothing was cut.
const Cut* cut_of(const SettingOut& face, int sheet);
/// A sheet's length along its run and its width, m.
dvec2 cut_size(const SettingOut& face, int sheet);

}  // namespace rakelight
