// The watched folder, on real files in a folder of each test's own. Times are given, none is waited for.
// Source of the error text: what the command line prints for the same file (its lines begin with "steelyard: ").
#include "serve/inbox.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "base/folder.hpp"
#include "service.hpp"

namespace steelyard::serve {

namespace {

namespace fs = std::filesystem;
using std::chrono::milliseconds;

const std::string k_good = "athlete,date,minutes,rpe\na1,2026-11-20,75,7\n";
const std::string k_bad = "athlete,date,minutes,rpe\na1,2026-11-20,75,7\na1,2026-11-21,75,77\n";

class InboxTest : public ServiceBench {
 protected:
  InboxTest() {
    add_people();
    inbox.emplace(Inbox::open({.folder = box.string(), .settle = milliseconds(2000)}).value());
  }

  void write(const std::string& name, const std::string& text) { std::ofstream(box / name, std::ios::binary) << text; }
  static std::string read_file(const fs::path& path) { return bytes_of(path); }
  InboxReport look(int at_ms, const std::set<std::string>& moved_in = {}, bool may_read = true) {
    auto report =
        inbox->look(context, begin + milliseconds(at_ms), moved_in, [&] { return Result<bool>(may_read); }, {});
    if (!report) {
      ADD_FAILURE() << report.error().text();
      return {};
    }
    for (const Error& error : report->errors) messages.push_back(error.text());
    return *std::move(report);
  }
  /// Two looks, far enough apart.
  InboxReport settle() {
    look(at += 10'000);
    return look(at += 10'000);
  }
  std::size_t sessions() { return log().sessions.size(); }

  Folder folder;
  fs::path box = folder.path() / "in box";
  std::optional<Inbox> inbox;
  Inbox::Time begin = std::chrono::steady_clock::now();
  int at = 0;
  std::vector<std::string> messages;
};

TEST_F(InboxTest, AFileIsReadOnceItStaysAsItIs) {
  write("s.csv", "athlete,date,minutes,rpe\n");
  EXPECT_EQ(look(0).waiting, 1U);
  write("s.csv", k_good);
  EXPECT_EQ(look(1500).waiting, 1U) << "it has changed";
  EXPECT_EQ(look(3000).waiting, 1U) << "1.5 s only";
  EXPECT_EQ(look(3500).done, 1U);
  EXPECT_EQ(sessions(), 1U);
  EXPECT_FALSE(fs::exists(box / "s.csv"));
  EXPECT_EQ(read_file(box / "done" / "s.csv"), k_good);
}

TEST_F(InboxTest, AFileThatWasRenamedInIsWhole) {
  write(".s.csv.part", k_good);
  EXPECT_EQ(look(0).waiting, 0U) << "names with a dot are left alone";
  fs::rename(box / ".s.csv.part", box / "s.csv");
  EXPECT_EQ(look(1, {"s.csv"}).done, 1U);
}

TEST_F(InboxTest, AnErrorRejectsTheWholeFileAndSaysTheSameAsTheCommandLine) {
  write("s.csv", k_bad);
  EXPECT_EQ(settle().rejected, 1U);
  EXPECT_EQ(sessions(), 0U);
  EXPECT_EQ(read_file(box / "rejected" / "s.csv"), k_bad);
  const auto outcome = app::ingest_text(context, "s.csv", k_bad, {}).value();
  EXPECT_EQ(read_file(box / "rejected" / "s.csv.error.txt"), "steelyard: " + outcome.report.errors[0].text() + "\n");
}

TEST_F(InboxTest, WhatHasNoHeaderIsRejectedToo) {
  write("photo.jpg", std::string("\xff\xd8\xff\xe0\0\x10JFIF", 10));
  write("empty.csv", "");
  EXPECT_EQ(settle().rejected, 2U);
  EXPECT_TRUE(fs::exists(box / "rejected" / "photo.jpg.error.txt"));
  EXPECT_TRUE(fs::exists(box / "rejected" / "empty.csv.error.txt"));
}

TEST_F(InboxTest, TheSameNameTwiceKeepsBothFiles) {
  write("s.csv", k_good);
  settle();
  write("s.csv", "athlete,date,minutes,rpe\na1,2026-11-21,60,6\n");
  settle();
  write("s.csv", k_bad);
  settle();
  write("s.csv", k_bad);
  settle();
  EXPECT_EQ(sessions(), 2U);
  EXPECT_TRUE(fs::exists(box / "done" / "s.csv.2"));
  EXPECT_TRUE(fs::exists(box / "rejected" / "s.csv.2.error.txt"));
}

TEST_F(InboxTest, OddNamesAreFileNamesLikeOthers) {
  const std::vector<std::string> names{"two words.csv", "\xff\xfe not utf8.csv", "new\nline.csv", "-rf",
                                       "$(reboot).csv"};
  int day = 10;
  for (const auto& name : names) {
    write(name, "athlete,date,minutes,rpe\na1,2026-11-" + std::to_string(day++) + ",75,7\n");
  }
  EXPECT_EQ(settle().done, names.size());
  EXPECT_EQ(sessions(), names.size());
  for (const auto& name : names) EXPECT_TRUE(fs::exists(box / "done" / name)) << name;
}

TEST_F(InboxTest, FoldersAndPipesAreLeftAloneAndLinksRejected) {
  fs::create_directory(box / "folder");
  write("folder/s.csv", k_good);
  ASSERT_EQ(::mkfifo((box / "pipe").c_str(), 0600), 0);
  write("../outside.csv", k_good);
  fs::create_symlink("../outside.csv", box / "link.csv");
  const InboxReport report = settle();
  EXPECT_EQ(report.rejected, 1U);
  EXPECT_EQ(report.done, 0U);
  EXPECT_EQ(sessions(), 0U);
  EXPECT_TRUE(fs::exists(box / "folder" / "s.csv"));
  EXPECT_TRUE(fs::exists(box / "pipe"));
  EXPECT_TRUE(fs::is_symlink(box / "rejected" / "link.csv"));
  EXPECT_EQ(read_file(box / "rejected" / "link.csv.error.txt"),
            "steelyard: link.csv: is a link; only files themselves are read, copy the file here\n");
}

TEST_F(InboxTest, AfterACrashBetweenReadingAndMovingItOnlyMoves) {
  write("s.csv", k_good);
  ASSERT_TRUE(store->service().note_file(app::content_digest(k_good), "s.csv: 1 rows"));  // as the crash left it
  EXPECT_EQ(settle().done, 1U);
  EXPECT_EQ(sessions(), 0U) << "it was read again";
  EXPECT_TRUE(fs::exists(box / "done" / "s.csv"));
  write("s.csv", k_good);
  EXPECT_EQ(settle().done, 1U);
  EXPECT_EQ(sessions(), 1U) << "a file that is dropped again is read again";
}

TEST_F(InboxTest, WhoHoldsNoLeaseReadsNothing) {
  write("s.csv", k_good);
  look(0);
  EXPECT_EQ(look(9000, {}, false).waiting, 1U);
  EXPECT_EQ(sessions(), 0U);
  EXPECT_TRUE(fs::exists(box / "s.csv"));
}

TEST_F(InboxTest, AReadingThatIsStoppedLeavesEverythingAsItWas) {
  write("s.csv", k_good);
  look(0);
  const auto report = inbox->look(context, begin + milliseconds(9000), {}, [] { return Result<bool>(true); },
                                  {.at_once = [] { return true; }});
  EXPECT_EQ(report.value().waiting, 1U);
  EXPECT_EQ(sessions(), 0U);
  EXPECT_EQ(look(9001).done, 1U);
}

TEST_F(InboxTest, AFolderThatCannotBeUsedIsAnErrorAtOnce) {
  write("file", "");
  EXPECT_EQ(Inbox::open({.folder = (box / "file").string()}).error().code, Errc::io);
  fs::remove_all(box);
  EXPECT_EQ(inbox->look(context, begin, {}, [] { return Result<bool>(true); }, {}).error().code, Errc::io);
}

TEST_F(InboxTest, ALostPermissionIsSaidAndOvercome) {
  const bool is_root = ::geteuid() == 0;  // who may do everything, so somebody else looks here
  ASSERT_TRUE(!is_root || ::seteuid(65534) == 0);
  const fs::path own = fs::temp_directory_path() / "steelyard-inbox-permission";
  fs::remove_all(own);
  Inbox other = Inbox::open({.folder = own.string(), .settle = milliseconds(0)}).value();
  std::ofstream(own / "s.csv") << k_good;
  fs::permissions(own / "s.csv", fs::perms::none);
  const auto look_at = [&] {
    return other.look(context, begin, {"s.csv"}, [] { return Result<bool>(true); }, {}).value();
  };
  const InboxReport report = look_at();
  fs::permissions(own / "s.csv", fs::perms::owner_read);
  const InboxReport after = look_at();
  fs::remove_all(own);
  ASSERT_TRUE(!is_root || ::seteuid(0) == 0);
  ASSERT_EQ(report.waiting, 1U);
  EXPECT_NE(report.errors.at(0).what.find("Permission denied"), std::string::npos);
  EXPECT_EQ(after.done, 1U);
}

}  // namespace
}  // namespace steelyard::serve
