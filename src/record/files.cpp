#include "armwise/record/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <system_error>
#include <utility>

#include "armwise/base/fault.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(const std::string& doing, const fs::path& path, int error) {
  throw Fault(FaultKind::file, doing + " " + path.string() + " did not work",
              std::generic_category().message(error),
              error == ENOSPC ? "Make room on the disk, then try again"
                              : "See that the folder exists and may be written, then try again");
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
  Prepared(const fs::path& file, std::string_view content, Readable readable)
      // Two programs may write the same file: each prepares its own.
      : path_(folder_of(file) /
              ("." + file.filename().string() + "." + std::to_string(::getpid()) + ".part")) {
    make_folder(folder_of(file));
    const mode_t mode = readable == Readable::by_owner ? 0600 : 0644;
    Descriptor descriptor(::open(path_.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, mode));
    if (descriptor.number() < 0) fail("Writing", path_, errno);
    try {
      // One that a crash left behind keeps the mode that it has.
      if (readable == Readable::by_owner && ::fchmod(descriptor.number(), mode) != 0)
        fail("Closing to others", path_, errno);
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
  std::error_code error;
  fs::create_directory(folder, error);
  if (error && !fs::is_directory(folder)) fail("Making the folder", folder, error.value());
  sync_folder(folder.parent_path());
}

void write_whole(const fs::path& file, std::string_view content, Readable readable) {
  const Prepared prepared(file, content, readable);
  if (::rename(prepared.path().c_str(), file.c_str()) != 0) fail("Renaming to", file, errno);
  sync_folder(folder_of(file));
}

bool write_new(const fs::path& file, std::string_view content, Readable readable) {
  const Prepared prepared(file, content, readable);
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
    const Descriptor taken(::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0644));
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
    throw Fault(FaultKind::file, file.string() + " is too long to be what it should be",
                std::to_string(size) + " bytes, at most " + std::to_string(longest), "Check the name");
  }
  std::ifstream in(file, std::ios::binary);
  if (!in) fail("Reading", file, errno);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

}  // namespace armwise::record
