// Files leave whole or not at all: written beside the target, forced to disk, renamed over it.
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <stdexcept>

#include "report/report.h"

namespace rakelight {
namespace {

/// What went wrong, for people, from errno.
std::string reason(int error) {
  switch (error) {
    case ENOENT: return "the folder does not exist";
    case ENOTDIR: return "part of the path is a file, not a folder";
    case EACCES:
    case EPERM: return "permission denied";
    case EROFS: return "the file system is read-only";
    case ENOSPC: return "the disk is full";
    case EDQUOT: return "the disk quota is used up";
    case EISDIR: return "it is a folder";
    case ENAMETOOLONG: return "the name is too long";
    default: return std::strerror(error);
  }
}

[[noreturn]] void fail(const std::string& path, int error) {
  throw std::runtime_error("cannot write " + path + ": " + reason(error));
}

class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  ~Descriptor() { close(); }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int get() const { return fd_; }
  int close() {
    if (fd_ < 0) return 0;
    const int result = ::close(fd_);
    fd_ = -1;
    return result;
  }

 private:
  int fd_;
};

/// 0, or the errno of the write that failed.
int write_all(int fd, const std::string& bytes) {
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t n = ::write(fd, bytes.data() + done, bytes.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return errno;
    done += static_cast<std::size_t>(n);
  }
  return 0;
}

void write_in_place(const std::string& path, const std::string& bytes) {
  Descriptor file(::open(path.c_str(), O_WRONLY | O_CLOEXEC));
  if (file.get() < 0) fail(path, errno);
  if (const int error = write_all(file.get(), bytes)) fail(path, error);
  if (file.close() != 0) fail(path, errno);
}

}  // namespace

std::optional<std::string> read_bytes(const std::string& path) {
  Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.get() < 0) return std::nullopt;
  std::string bytes;
  std::array<char, 65536> piece;
  while (true) {
    const ssize_t n = ::read(file.get(), piece.data(), piece.size());
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) {
      const int error = errno;  // closing may change it
      file.close();
      errno = error;
      return std::nullopt;
    }
    if (n == 0) return bytes;
    bytes.append(piece.data(), static_cast<std::size_t>(n));
  }
}

Loader loader_beside(const std::string& folder) {
  return [folder = std::filesystem::path(folder)](const std::string& path) { return read_bytes((folder / path).string()); };
}

void write_file(const std::string& path, const std::string& bytes) {
  struct stat there {};
  const bool exists = ::stat(path.c_str(), &there) == 0;
  if (exists && S_ISDIR(there.st_mode)) fail(path, EISDIR);
  // a device or pipe must be written to, not replaced
  if (exists && !S_ISREG(there.st_mode)) return write_in_place(path, bytes);

  std::string target = path;
  std::error_code ignored;
  // a link stays a link: the file it points to is replaced
  if (std::filesystem::is_symlink(path, ignored)) {
    const auto real = std::filesystem::weakly_canonical(path, ignored);
    if (!ignored) target = real.string();
  }
  if (exists && ::faccessat(AT_FDCWD, path.c_str(), W_OK, AT_EACCESS) != 0) fail(path, errno);

  const std::string beside = target + ".part" + std::to_string(::getpid());
  Descriptor file(::open(beside.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_NOFOLLOW | O_CLOEXEC, exists ? there.st_mode & 0666 : 0666));
  if (file.get() < 0) fail(path, errno);
  int error = write_all(file.get(), bytes);
  if (error == 0 && exists && ::fchmod(file.get(), there.st_mode & 07777) != 0) error = errno;
  if (error == 0 && ::fsync(file.get()) != 0) error = errno;
  if (file.close() != 0 && error == 0) error = errno;
  if (error == 0 && ::rename(beside.c_str(), target.c_str()) != 0) error = errno;
  if (error != 0) {
    ::unlink(beside.c_str());
    fail(path, error);
  }
}

}  // namespace rakelight
