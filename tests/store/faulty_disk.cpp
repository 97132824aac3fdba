#include "store/faulty_disk.hpp"

#include <sqlite3.h>

#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <random>
#include <vector>

namespace steelyard::store {
namespace {

/// A write, or a truncation to `offset` (no bytes).
struct Change {
  std::size_t offset = 0;
  std::optional<std::string> bytes;
};

struct Tracked {
  bool exists = false;  ///< on the disk, if power fails now
  std::string synced;
  std::vector<Change> since;
};

struct {
  int left = 0;  ///< changes until the first that fails; 0 = none fails
  bool failed = false;
  std::map<std::string, Tracked> files;
  sqlite3_vfs* real = nullptr;
} disk;

struct File {
  sqlite3_file base;
  const char* name;
  sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

File* as_file(sqlite3_file* file) {
  return reinterpret_cast<File*>(file);
}
sqlite3_file* real_of(sqlite3_file* file) {
  return as_file(file)->real();
}

/// Whether this change fails.
bool fails() {
  if (disk.failed) return true;
  if (disk.left > 0 && --disk.left == 0) disk.failed = true;
  return disk.failed;
}

void apply(std::string& bytes, const Change& change) {
  if (!change.bytes) {
    bytes.resize(change.offset);
    return;
  }
  if (bytes.size() < change.offset + change.bytes->size()) bytes.resize(change.offset + change.bytes->size());
  bytes.replace(change.offset, change.bytes->size(), *change.bytes);
}

int do_close(sqlite3_file* file) {
  return real_of(file)->pMethods->xClose(real_of(file));
}
int do_read(sqlite3_file* file, void* to, int count, sqlite3_int64 at) {
  return real_of(file)->pMethods->xRead(real_of(file), to, count, at);
}
int do_write(sqlite3_file* file, const void* from, int count, sqlite3_int64 at) {
  if (fails()) return SQLITE_IOERR_WRITE;
  if (as_file(file)->name != nullptr) {
    disk.files[as_file(file)->name].since.push_back(
        {static_cast<std::size_t>(at), std::string(static_cast<const char*>(from), static_cast<std::size_t>(count))});
  }
  return real_of(file)->pMethods->xWrite(real_of(file), from, count, at);
}
int do_truncate(sqlite3_file* file, sqlite3_int64 size) {
  if (fails()) return SQLITE_IOERR_TRUNCATE;
  if (as_file(file)->name != nullptr) {
    disk.files[as_file(file)->name].since.push_back({static_cast<std::size_t>(size), std::nullopt});
  }
  return real_of(file)->pMethods->xTruncate(real_of(file), size);
}
int do_sync(sqlite3_file* file, int flags) {
  if (fails()) return SQLITE_IOERR_FSYNC;
  if (as_file(file)->name != nullptr) {
    Tracked& tracked = disk.files[as_file(file)->name];
    for (const Change& change : tracked.since) apply(tracked.synced, change);
    tracked.since.clear();
    tracked.exists = true;
  }
  static_cast<void>(flags);
  return SQLITE_OK;  // the test's own memory of it is enough: nothing is lost for real
}
int do_size(sqlite3_file* file, sqlite3_int64* size) {
  return real_of(file)->pMethods->xFileSize(real_of(file), size);
}
int do_lock(sqlite3_file* file, int level) {
  return real_of(file)->pMethods->xLock(real_of(file), level);
}
int do_unlock(sqlite3_file* file, int level) {
  return real_of(file)->pMethods->xUnlock(real_of(file), level);
}
int do_check(sqlite3_file* file, int* reserved) {
  return real_of(file)->pMethods->xCheckReservedLock(real_of(file), reserved);
}
int do_control(sqlite3_file* file, int what, void* with) {
  return real_of(file)->pMethods->xFileControl(real_of(file), what, with);
}
int do_sector(sqlite3_file* file) {
  return real_of(file)->pMethods->xSectorSize(real_of(file));
}
int do_traits(sqlite3_file* file) {
  return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}
int do_shm_map(sqlite3_file* file, int page, int size, int extend, void volatile** to) {
  return real_of(file)->pMethods->xShmMap(real_of(file), page, size, extend, to);
}
int do_shm_lock(sqlite3_file* file, int offset, int n, int flags) {
  return real_of(file)->pMethods->xShmLock(real_of(file), offset, n, flags);
}
void do_shm_barrier(sqlite3_file* file) {
  real_of(file)->pMethods->xShmBarrier(real_of(file));
}
int do_shm_unmap(sqlite3_file* file, int remove) {
  return real_of(file)->pMethods->xShmUnmap(real_of(file), remove);
}

const sqlite3_io_methods k_methods{2,         do_close,   do_read,     do_write,       do_truncate,  do_sync,
                                   do_size,   do_lock,    do_unlock,   do_check,       do_control,   do_sector,
                                   do_traits, do_shm_map, do_shm_lock, do_shm_barrier, do_shm_unmap, nullptr,
                                   nullptr};

std::string bytes_in(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

int do_open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out) {
  as_file(file)->name = name;
  file->pMethods = nullptr;
  if (name != nullptr && !disk.files.contains(name)) {
    disk.files[name] = {.exists = std::filesystem::exists(name), .synced = bytes_in(name), .since = {}};
  }
  const int code = disk.real->xOpen(disk.real, name, real_of(file), flags, out);
  if (code == SQLITE_OK) file->pMethods = &k_methods;
  return code;
}
int do_delete(sqlite3_vfs*, const char* name, int is_synced) {
  if (fails()) return SQLITE_IOERR_DELETE;
  if (is_synced != 0) disk.files.erase(name);
  return disk.real->xDelete(disk.real, name, is_synced);
}

sqlite3_vfs faulty;

}  // namespace

FaultyDisk::FaultyDisk() {
  disk.real = sqlite3_vfs_find(nullptr);
  disk.files.clear();
  fail_at(0);
  faulty = *disk.real;
  faulty.zName = "faulty";
  faulty.szOsFile = static_cast<int>(sizeof(File)) + disk.real->szOsFile;
  faulty.pNext = nullptr;
  faulty.xOpen = do_open;
  faulty.xDelete = do_delete;
  sqlite3_vfs_register(&faulty, 1);
}

FaultyDisk::~FaultyDisk() {
  sqlite3_vfs_unregister(&faulty);
  sqlite3_vfs_register(disk.real, 1);
}

void FaultyDisk::fail_at(int n) {
  disk.left = n;
  disk.failed = false;
}

bool FaultyDisk::has_failed() const {
  return disk.failed;
}

void FaultyDisk::lose_power(const std::string& from, const std::string& folder, unsigned keep) const {
  namespace fs = std::filesystem;
  std::mt19937 random(keep);
  for (const auto& [name, tracked] : disk.files) {
    if (fs::path(name).parent_path() != from) continue;
    std::string bytes = tracked.synced;
    bool exists = tracked.exists;
    for (const Change& change : tracked.since) {
      if (keep == 0 || random() % 2 == 0) continue;
      apply(bytes, change);
      exists = true;
    }
    const fs::path to = fs::path(folder) / fs::path(name).filename();
    if (!exists) continue;
    std::ofstream(to, std::ios::binary) << bytes;
    fs::permissions(to, fs::perms::owner_read | fs::perms::owner_write);
  }
}

}  // namespace steelyard::store
