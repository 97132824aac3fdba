#pragma once
/// Random secrets and digests. secrets.cpp alone knows the cryptographic library.

#include <memory>
#include <string>
#include <string_view>

namespace steelyard::app {

/// 32 random bytes as base64url without padding: 43 letters.
[[nodiscard]] std::string random_secret();
/// The 32 bytes of SHA-256. source  FIPS 180-4
[[nodiscard]] std::string sha256(std::string_view bytes);
/// In a time that does not depend on where two texts differ.
[[nodiscard]] bool same_bytes(std::string_view a, std::string_view b);
[[nodiscard]] std::string hexadecimal(std::string_view bytes);

/// SHA-256 of bytes that come in pieces.
class RunningDigest {
 public:
  RunningDigest();
  ~RunningDigest();
  RunningDigest(const RunningDigest&) = delete;
  RunningDigest& operator=(const RunningDigest&) = delete;
  void add(std::string_view bytes);
  [[nodiscard]] std::string finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace steelyard::app
