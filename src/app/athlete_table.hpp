#pragma once
/// Something for each athlete, found by code. Files in the order of days name another athlete in every row, so that
/// finding one is most of the work: an open table of hashes and places beside each other, and code and value of an
/// athlete beside each other.

#include <cstdint>
#include <cstring>
#include <deque>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace steelyard::app {

/// The bytes [at, at + sizeof(Word)) of a text.
template <class Word>
std::uint64_t word_at(std::string_view text, std::size_t at) {
  Word word = 0;
  std::memcpy(&word, text.data() + at, sizeof word);
  return word;
}

/// A hash whose upper half is as good as its lower one. Words overlap where the text does not fill the last one.
inline std::uint64_t hash_of_code(std::string_view code) {
  constexpr std::uint64_t k_odd = 0x9e3779b97f4a7c15;  // the golden ratio's fraction
  const std::size_t n = code.size();
  std::uint64_t hash = n;
  const auto mix = [&](std::uint64_t word) {
    hash = (hash ^ word) * k_odd;
    hash ^= hash >> 32;
  };
  if (n >= 8) {
    for (std::size_t at = 0; at + 8 < n; at += 8) mix(word_at<std::uint64_t>(code, at));
    mix(word_at<std::uint64_t>(code, n - 8));
  } else if (n >= 4) {
    mix(word_at<std::uint32_t>(code, 0) << 32 | word_at<std::uint32_t>(code, n - 4));
  } else {
    for (std::size_t at = 0; at < n; ++at) mix(word_at<std::uint8_t>(code, at));
  }
  mix(0);
  return hash;
}

template <class Value>
class AthleteTable {
 public:
  struct alignas(64) Entry {
    std::string name;
    Value value;
  };

  /// hash: of the name.   result  valid as long as the table
  Entry& entry(std::string_view name, std::uint64_t hash) {
    std::size_t at = hash & mask();
    for (; slots_[at].place != nullptr; at = (at + 1) & mask()) {
      if (slots_[at].hash == hash && slots_[at].place->name == name) return *slots_[at].place;
    }
    Entry& made = entries_.emplace_back();
    made.name = name;
    slots_[at] = {.hash = hash, .place = &made};
    if (2 * entries_.size() > slots_.size()) grow();
    return made;
  }
  [[nodiscard]] const Value* find(std::string_view name) const {
    const std::uint64_t hash = hash_of_code(name);
    for (std::size_t at = hash & mask(); slots_[at].place != nullptr; at = (at + 1) & mask()) {
      if (slots_[at].hash == hash && slots_[at].place->name == name) return &slots_[at].place->value;
    }
    return nullptr;
  }
  [[nodiscard]] std::deque<Entry>& entries() { return entries_; }
  [[nodiscard]] const std::deque<Entry>& entries() const { return entries_; }

 private:
  struct Slot {
    std::uint64_t hash = 0;
    Entry* place = nullptr;  ///< null = free
  };
  [[nodiscard]] std::size_t mask() const { return slots_.size() - 1; }
  void grow() {
    std::vector<Slot> old = std::exchange(slots_, std::vector<Slot>(2 * slots_.size()));
    for (const Slot& slot : old) {
      if (slot.place == nullptr) continue;
      std::size_t at = slot.hash & mask();
      while (slots_[at].place != nullptr) at = (at + 1) & mask();
      slots_[at] = slot;
    }
  }

  std::vector<Slot> slots_ = std::vector<Slot>(64);  ///< a power of two of them
  std::deque<Entry> entries_;
};

}  // namespace steelyard::app
