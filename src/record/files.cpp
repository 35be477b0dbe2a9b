#include "armwise/record/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <system_error>
#include <utility>

#include "armwise/base/fault.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

// For their owner alone, whatever the umask says.
constexpr mode_t own_folder = 0700;

[[noreturn]] void fail(const std::string& doing, const fs::path& path, int error) {
  const bool no_room = error == ENOSPC || error == EDQUOT;
  throw Fault(FaultKind::file, doing + " " + path.string() + " did not work",
              std::generic_category().message(error),
              no_room              ? "Make room on the disk, then try again"
              : error == EFBIG     ? "Raise the limit on the size of files (ulimit -f), then try again"
              : doing == "Reading" ? "Check that it's a file you may read"
                                   : "See that the folder exists and may be written, then try again");
}

[[noreturn]] void too_long(const fs::path& file, std::size_t size, std::size_t longest) {
  throw Fault(FaultKind::file, file.string() + " is too long to be what it should be",
              std::to_string(size) + " bytes, at most " + std::to_string(longest), "Check the name");
}

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  int number() const { return number_; }
  bool close() { return ::close(std::exchange(number_, -1)) == 0; }

 private:
  int number_;
};

void write_all(int descriptor, std::string_view content, const fs::path& path) {
  while (!content.empty()) {
    const ssize_t written = ::write(descriptor, content.data(), content.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) fail("Writing", path, errno);
    content.remove_prefix(static_cast<std::size_t>(written));
  }
}

fs::path folder_of(const fs::path& file) {
  return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

// The content on disk, beside the file that it is for and ready to be renamed; gone if it was not.
class Prepared {
 public:
  Prepared(const fs::path& file, std::string_view content)
      // Two programs may write the same file: each prepares its own.
      : path_(folder_of(file) /
              ("." + file.filename().string() + "." + std::to_string(::getpid()) + ".part")) {
    make_folder(folder_of(file));
    Descriptor descriptor(
        ::open(path_.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, own_file));
    if (descriptor.number() < 0) fail("Writing", path_, errno);
    try {
      // One that a crash left behind keeps the mode that it has.
      if (::fchmod(descriptor.number(), own_file) != 0) fail("Closing to others", path_, errno);
      write_all(descriptor.number(), content, path_);
      if (::fsync(descriptor.number()) != 0) fail("Syncing", path_, errno);
      if (!descriptor.close()) fail("Closing", path_, errno);
    } catch (const Fault&) {
      ::unlink(path_.c_str());
      throw;
    }
  }
  ~Prepared() { ::unlink(path_.c_str()); }
  Prepared(const Prepared&) = delete;
  Prepared& operator=(const Prepared&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

}  // namespace

void sync_folder(const fs::path& folder) {
  const Descriptor descriptor(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (descriptor.number() < 0) fail("Opening the folder", folder, errno);
  if (::fsync(descriptor.number()) != 0 && errno != EINVAL) fail("Syncing the folder", folder, errno);
}

void make_folder(const fs::path& folder) {
  if (folder.empty() || fs::is_directory(folder)) return;
  make_folder(folder.parent_path());
  if (::mkdir(folder.c_str(), own_folder) != 0) {
    const int error = errno;
    if (!fs::is_directory(folder)) fail("Making the folder", folder, error);
  }
  sync_folder(folder.parent_path());
}

void write_whole(const fs::path& file, std::string_view content) {
  const Prepared prepared(file, content);
  if (::rename(prepared.path().c_str(), file.c_str()) != 0) fail("Renaming to", file, errno);
  sync_folder(folder_of(file));
}

bool write_new(const fs::path& file, std::string_view content) {
  const Prepared prepared(file, content);
  const char* from = prepared.path().c_str();
  if (::renameat2(AT_FDCWD, from, AT_FDCWD, file.c_str(), RENAME_NOREPLACE) != 0) {
    if (errno == EEXIST) return false;
    if (errno != EINVAL) fail("Renaming to", file, errno);
    // A file system that cannot do both at once.
    std::error_code ignored;
    if (fs::symlink_status(file, ignored).type() != fs::file_type::not_found) return false;
    if (::rename(from, file.c_str()) != 0) fail("Renaming to", file, errno);
  }
  sync_folder(folder_of(file));
  return true;
}

fs::path take_fresh_name(const fs::path& folder, const std::string& stem, const std::string& extension) {
  make_folder(folder);
  fs::path file = folder / (stem + extension);
  for (int n = 2;; ++n) {
    const Descriptor taken(
        ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, own_file));
    if (taken.number() >= 0) break;
    if (errno != EEXIST) fail("Making", file, errno);
    file = folder / (stem + "-" + std::to_string(n) + extension);
  }
  sync_folder(folder);
  return file;
}

std::string read_whole(const fs::path& file, std::size_t longest) {
  std::error_code error;
  const auto status = fs::status(file, error);
  if (!fs::exists(status)) {
    throw Fault(FaultKind::file, "There is no file " + file.string(), {}, "Check the name");
  }
  if (!fs::is_regular_file(status)) {
    throw Fault(FaultKind::file, file.string() + " is not a file", {}, "Name a file");
  }
  if (const auto size = fs::file_size(file, error); !error && size > longest) {
    too_long(file, size, longest);
  }
  // What it is may have changed since: a pipe must not be waited for.
  const Descriptor descriptor(::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NOCTTY | O_NONBLOCK));
  if (descriptor.number() < 0) fail("Reading", file, errno);
  std::string content;
  std::array<char, 65536> part{};
  while (true) {
    const ssize_t length = ::read(descriptor.number(), part.data(), part.size());
    if (length < 0 && errno == EINTR) continue;
    if (length < 0) fail("Reading", file, errno);
    if (length == 0) return content;
    content.append(part.data(), static_cast<std::size_t>(length));
    if (content.size() > longest) too_long(file, content.size(), longest);
  }
}

void require_room(const fs::path& folder) {
  const fs::path tried = take_fresh_name(folder, ".room-" + std::to_string(::getpid()), ".part");
  try {
    constexpr std::size_t enough = std::size_t{256} * 1024;  // a long session's journal, or its record
    Descriptor descriptor(::open(tried.c_str(), O_WRONLY | O_CLOEXEC | O_NOFOLLOW));
    if (descriptor.number() < 0) fail("Writing", tried, errno);
    write_all(descriptor.number(), std::string(enough, ' '), tried);
    if (::fsync(descriptor.number()) != 0) fail("Syncing", tried, errno);
  } catch (...) {
    ::unlink(tried.c_str());
    throw;
  }
  ::unlink(tried.c_str());
}

}  // namespace armwise::record
