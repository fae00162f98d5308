// The paper as PDF, by cairo; the language of its text is put into the catalogue afterwards, which cairo has no word for.
#include <cairo-pdf.h>
#include <fmt/format.h>

#include <cstdlib>
#include <stdexcept>

#include "report/page_setter.h"
#include "report/plain_text.h"

namespace rakelight {
namespace {

cairo_status_t take(void* closure, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

/// The bytes after `word`, from the last place that it stands at.
std::string after(const std::string& bytes, const std::string& word, std::size_t count = 40) {
  const std::size_t at = bytes.rfind(word);
  return at == std::string::npos ? "" : bytes.substr(at + word.size(), count);
}

/// Writes the catalogue again with /Lang in it, as an update appended to the file (ISO 32000-1, 7.5.6).
std::string with_language(std::string bytes, const std::string& language) {
  const std::string root_words = after(bytes, "/Root ");
  const int root = std::atoi(root_words.c_str()), size = std::atoi(after(bytes, "/Size ").c_str()), info = std::atoi(after(bytes, "/Info ").c_str());
  const std::string before = after(bytes, "startxref\n"), heading = fmt::format("\n{} 0 obj\n", root);
  const std::size_t at = bytes.rfind(heading), end = at == std::string::npos ? at : bytes.find("endobj", at);
  const std::size_t type = end == std::string::npos ? end : bytes.find("/Type /Catalog", at);
  // another cairo may pack its objects; then the text goes without a language
  if (root <= 0 || size <= 0 || type == std::string::npos || type > end) return bytes;
  std::string catalogue = bytes.substr(at + 1, end - at - 1) + "endobj\n";
  catalogue.insert(catalogue.find("/Type /Catalog"), fmt::format("/Lang ({}) /ViewerPreferences << /DisplayDocTitle true >>\n   ", language));
  const std::size_t place = bytes.size();
  bytes += catalogue;
  const std::size_t table = bytes.size();
  bytes += fmt::format("xref\n{} 1\n{:010} 00000 n \ntrailer\n<< /Size {} /Root {} 0 R", root, place, size, root);
  if (info > 0) bytes += fmt::format(" /Info {} 0 R", info);
  return bytes + fmt::format(" /Prev {} >>\nstartxref\n{}\n%%EOF\n", std::atoi(before.c_str()), table);
}

}  // namespace

std::string paper_pdf(const Paper& paper) {
  const PageSetter setter(paper);
  const PageArea area = area_of(paper.page);
  std::string bytes;
  {
    const SurfacePtr surface(cairo_pdf_surface_create_for_stream(take, &bytes, area.width, area.height));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, paper.title.c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, (paper.created + "T00:00:00Z").c_str());
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "Rakelight");
    setter.draw(surface.get());
    cairo_surface_finish(surface.get());
    if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) throw std::runtime_error(std::string("cannot make the PDF: ") + cairo_status_to_string(cairo_surface_status(surface.get())));
  }
  return with_language(std::move(bytes), paper.language);
}

int paper_pages(const Paper& paper) { return static_cast<int>(PageSetter(paper).pages().size()); }

}  // namespace rakelight
