// What leaves the program: pictures, tables, JSON. Files are written beside the target and renamed.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "advice/advice.h"
#include "advice/counsel.h"
#include "assess/assess.h"
#include "base/image.h"
#include "base/loader.h"
#include "report/drawing.h"

namespace rakelight {

/// Writes beside `path` and renames; throws std::runtime_error with the reason (full disk, no folder …).
void write_file(const std::string& path, const std::string& bytes);
/// A file's bytes; empty, with the reason in errno, when it cannot be read or is a folder.
std::optional<std::string> read_bytes(const std::string& path);
/// Reads the files that a job names, relative to the folder that the job is in; "" = the working folder.
Loader loader_beside(const std::string& folder);

std::string png_bytes(const Image& display_8bit);          ///< one or three channels, values 0..255
std::string exr_bytes(const Image& luminance);             ///< one channel Y, 32-bit float, cd/m²
Image read_exr(const std::string& path);                   ///< for checks

/// Adds a strip below a picture with its caption (time, sky, where you stand, exposure, true or ×n).
Image with_caption(const Image& display_8bit, const std::vector<std::string>& lines);
/// Pictures side by side (wide ones above each other) with a heading each.
Image side_by_side(const std::vector<Image>& pictures, const std::vector<std::string>& headings);

/// What must stand beside anything that shows or judges a face before it is painted: that it is not the finished work. Precondition: not painted.
std::string stage_caution(PaintStage stage);

/// JSON as docs/schema: program, version, schema, assumed first. `counsel`: of the advice's surfaces, or empty.
std::string assess_json(const Study& study, const Assessment& assessment, const Advice& advice, const Counsel& counsel, const std::string& job_name);
std::string probe_json(const Study& study, int surface, dvec2 p, int moment);
std::string sight_json(double luminance, double width, double distance);

/// Text for people.
std::string assess_text(const Study& study, const Assessment& assessment, const Advice& advice, const Counsel& counsel, bool colour);
std::string probe_text(const Study& study, int surface, dvec2 p, int moment);
std::string sight_text(double luminance, double width, double distance);
/// offset_mm, bare_mm, coat1_mm … finished_mm, slope
std::string profile_csv(const Section& section);
/// `notes` are printed below; lengths in `units`.
std::string profile_text(const Section& section, const std::string& heading, const std::vector<std::string>& notes = {}, Units units = Units::millimetre);
/// The section coat by coat, heights ×100, with blades, tape and dimensions; `notes` are printed below.
Drawing section_drawing(const Section& section, const std::string& heading, const std::vector<std::string>& notes = {}, Units units = Units::millimetre);
struct PlateRow { std::string name; std::vector<Section> sections, later; };
/// Sections side by side to one scale, heights ×50: `columns` name the sections of each row. `later`: the same at a second
/// date, drawn over them where they differ; empty where nothing moves.
Drawing section_plate(const std::string& heading, const std::vector<std::string>& columns, const std::vector<PlateRow>& rows);

}  // namespace rakelight
