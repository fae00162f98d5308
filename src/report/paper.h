// The paper: what the client signs and the site works from, as blocks that leave as PDF or as one HTML file.
#pragma once
#include <string>
#include <variant>
#include <vector>

#include "advice/advice.h"
#include "advice/counsel.h"
#include "assess/assess.h"
#include "base/image.h"
#include "report/drawing.h"
#include "report/year.h"

namespace rakelight {

struct Headline { std::string text; int level = 1; };         ///< 1 = a section's, 2 = within it
struct Para { std::string text; bool strong = false, small = false, with_next = false; };  ///< with_next: on one page with what follows
struct Points { std::vector<std::string> items; bool ticks = false; };  ///< bullets, or boxes to tick
struct Grid {
  std::vector<std::string> head;                               ///< repeated on every page
  std::vector<std::vector<std::string>> rows;
  std::vector<bool> right;                                     ///< columns set to the right; shorter = the rest to the left
  bool tall = false;                                           ///< rows to write in
};
struct Photo {
  Image image;                                                 ///< 8-bit values, one channel
  std::string heading, alt;
  std::vector<std::string> beside = {};                        ///< lines that stand to its right
  double most_height = 0.22;                                   ///< with lines beside it: share of a page
};
struct Photos { std::vector<Photo> photos; std::string caption; int across = 1; };
struct Plate {
  Drawing drawing;
  std::string caption, alt;
  double most_height = 120;                                    ///< mm
  std::vector<std::string> beside = {};                        ///< lines that stand to its right
};
struct Blank { std::string label, value = {}; };               ///< a line to fill in, unless there is a value
struct Blanks { std::vector<Blank> blanks; };                  ///< two beside each other
struct Tones {};                                               ///< a strip of greys that tests the print
struct Slide { Photo before, after; std::string caption; };    ///< on the screen alone
inline constexpr int tone_steps = 11;
/// A grey of the strips, 0 to 1 as displayed: strip 0 the whole scale evenly; strip 1 pairs about a light grey whose steps grow from 2 %
/// of it to 12 %, as joints' shades are.
double strip_tone(int strip, int step);
std::string tone_words();
using PaperBlock = std::variant<Headline, Para, Points, Grid, Photos, Plate, Blanks, Tones, Slide>;

/// Starts on a new page; with `most_pages` its type and pictures are set smaller until it fits, down to 7 points.
struct PaperSection { std::string title; std::vector<PaperBlock> blocks; int most_pages = 0; };

struct Paper {
  std::string title, foot;
  std::string language = "en-GB";
  std::string created = "2000-01-01";                          ///< of the file's data: ISO 8601; the same job gives the same bytes
  PageSize page = PageSize::a4;
  std::vector<PaperSection> sections;
};

/// PDF: text that can be selected, embedded fonts, title, language, outline. Throws std::runtime_error.
std::string paper_pdf(const Paper& paper);
/// The pages that paper_pdf sets.
int paper_pages(const Paper& paper);
/// One file without outside requests, for phones and wide screens.
std::string paper_html(const Paper& paper);

/// What is shown in the paper. Empty images are left out, and said so.
struct PaperPictures {
  Photo room;
  std::string room_caption;
  std::vector<Photo> levels;                                   ///< the same wall in the levels on offer
  std::string levels_caption;
  double amplify = 1;
  std::string why_none;                                        ///< why there are no pictures; "" = there are
};

/// What a paper is made of. `year` is null where the site has no time zone.
struct PaperSource {
  const Study& study;
  const Assessment& assessment;
  const Advice& advice;
  const YearReport* year = nullptr;
  const Counsel& counsel;
  const PaperPictures& pictures;
  std::string job_name, job_text;
};
Paper make_paper(const PaperSource& source);

/// The blank sheet to fill in on site.
Paper survey_paper(PageSize page, bool inches);

}  // namespace rakelight
