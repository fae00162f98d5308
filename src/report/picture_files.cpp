// Pictures as bytes: PNG for screens, OpenEXR for luminance. Neither holds a date or a version, so equal
// pictures give equal bytes.
#include <ImfChannelList.h>
#include <ImfFrameBuffer.h>
#include <ImfHeader.h>
#include <ImfIO.h>
#include <ImfInputFile.h>
#include <ImfOutputFile.h>
#include <ImfStandardAttributes.h>
#include <png.h>
#include <zlib.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstring>
#include <stdexcept>

#include "report/report.h"

namespace rakelight {
namespace {

void append_png(png_structp png, png_bytep data, png_size_t length) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<const char*>(data), length);
}
void flush_png(png_structp) {}
[[noreturn]] void png_failed(png_structp, png_const_charp why) {
  throw std::runtime_error(std::string("cannot make a PNG: ") + why);
}
void png_warned(png_structp, png_const_charp) {}

struct PngWriter {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, png_failed, png_warned);
  png_infop info = png_create_info_struct(png);
  PngWriter() = default;
  PngWriter(const PngWriter&) = delete;
  PngWriter& operator=(const PngWriter&) = delete;
  ~PngWriter() { png_destroy_write_struct(&png, &info); }
};

class StringStream : public Imf::OStream {
 public:
  explicit StringStream(std::string& bytes) : Imf::OStream("luminance"), bytes_(bytes) {}
  void write(const char c[], int n) override {
    const auto end = at_ + static_cast<std::size_t>(n);
    if (end > bytes_.size()) bytes_.resize(end);
    std::memcpy(bytes_.data() + at_, c, static_cast<std::size_t>(n));
    at_ = end;
  }
  std::uint64_t tellp() override { return at_; }
  void seekp(std::uint64_t position) override { at_ = position; }

 private:
  std::string& bytes_;
  std::size_t at_ = 0;
};

}  // namespace

std::string png_bytes(const Image& display_8bit) {
  const Image& image = display_8bit;
  assert(image.channels == 1 || image.channels == 3);
  std::vector<unsigned char> levels(image.pixels.size());
  std::transform(image.pixels.begin(), image.pixels.end(), levels.begin(), [](float v) {
    return static_cast<unsigned char>(std::lround(std::clamp(v, 0.0f, 255.0f)));
  });
  std::string bytes;
  PngWriter writer;
  png_set_write_fn(writer.png, &bytes, append_png, flush_png);
  png_set_IHDR(writer.png, writer.info, static_cast<png_uint_32>(image.width), static_cast<png_uint_32>(image.height), 8,
               image.channels == 1 ? PNG_COLOR_TYPE_GRAY : PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  // pictures, which are grey, have noise in their last bits: looking for what repeats takes ten times as long and finds next to nothing
  if (image.channels == 1) png_set_compression_strategy(writer.png, Z_RLE);
  png_set_sRGB(writer.png, writer.info, PNG_sRGB_INTENT_RELATIVE);
  png_write_info(writer.png, writer.info);
  const std::size_t stride = static_cast<std::size_t>(image.width) * image.channels;
  for (int y = 0; y < image.height; ++y) png_write_row(writer.png, levels.data() + stride * y);
  png_write_end(writer.png, nullptr);
  return bytes;
}

std::string exr_bytes(const Image& luminance) {
  assert(luminance.channels == 1);
  Imf::Header header(luminance.width, luminance.height);
  header.channels().insert("Y", Imf::Channel(Imf::FLOAT));
  header.compression() = Imf::ZIP_COMPRESSION;
  Imf::addWhiteLuminance(header, 1.0f);
  Imf::addComments(header, "Y is luminance in cd/m2.");
  std::string bytes;
  StringStream stream(bytes);
  {
    // no worker threads: the bytes must not depend on the machine
    Imf::OutputFile file(stream, header, 0);
    Imf::FrameBuffer frame;
    auto* data = reinterpret_cast<char*>(const_cast<float*>(luminance.pixels.data()));
    frame.insert("Y", Imf::Slice(Imf::FLOAT, data, sizeof(float), sizeof(float) * static_cast<std::size_t>(luminance.width)));
    file.setFrameBuffer(frame);
    file.writePixels(luminance.height);
  }
  return bytes;
}

Image read_exr(const std::string& path) {
  try {
    Imf::InputFile file(path.c_str(), 0);
    const auto box = file.header().dataWindow();
    const int width = box.max.x - box.min.x + 1, height = box.max.y - box.min.y + 1;
    if (file.header().channels().findChannel("Y") == nullptr) throw std::runtime_error("it has no channel Y");
    Image image(width, height, 1);
    const std::size_t row = sizeof(float) * static_cast<std::size_t>(width);
    Imf::FrameBuffer frame;
    frame.insert("Y", Imf::Slice::Make(Imf::FLOAT, image.pixels.data(), box, sizeof(float), row));
    file.setFrameBuffer(frame);
    file.readPixels(box.min.y, box.max.y);
    return image;
  } catch (const std::exception& error) {
    throw std::runtime_error("cannot read " + path + ": " + error.what());
  }
}

}  // namespace rakelight
