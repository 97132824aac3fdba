// A store file of any bytes: it opens, is brought forward, is looked at and read, or is refused; nothing else.
#include <unistd.h>

#include <filesystem>

#include "fuzz/fuzz.hpp"
#include "steelyard/store/care.hpp"
#include "steelyard/store/store.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace steelyard;
  using namespace steelyard::fuzz;
  namespace fs = std::filesystem;
  static const fs::path folder = [] {
    const auto path = (fs::exists("/dev/shm") ? fs::path("/dev/shm") : fs::temp_directory_path()) /
                      ("steelyard-fuzz-" + std::to_string(::getpid()));
    fs::create_directories(path);
    return path;
  }();
  const std::string file = (folder / "a.db").string();
  std::ofstream(file, std::ios::binary).write(reinterpret_cast<const char*>(data), static_cast<std::streamsize>(size));
  if (const auto check = store::FileCheck::open(file)) {
    static_cast<void>((*check)->inspect());
    static_cast<void>((*check)->calls());
  }
  static_cast<void>(store::back_up_file(file, file + ".copy", true));
  if (const auto opened = store::open_sqlite_store(file)) {
    store::Store& store = **opened;
    if (const auto athletes = store.athletes()) {
      for (const Athlete& athlete : *athletes) {
        static_cast<void>(store.log(athlete.athlete, Day{}, Day{} + Days{30'000}));
        static_cast<void>(store.history(athlete.athlete));
        static_cast<void>(store.forecasts(athlete.athlete));
      }
    }
    static_cast<void>(store.contents_digest());
    static_cast<void>(store.questions({}));
  } else {
    expect(!opened.error().what.empty(), "a refusal says why");
  }
  fs::remove_all(folder);
  fs::create_directories(folder);
  return 0;
}
