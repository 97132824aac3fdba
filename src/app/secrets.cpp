#include "app/secrets.hpp"

#include <openssl/crypto.h>
#include <openssl/evp.h>
#include <openssl/rand.h>

#include <array>
#include <span>
#include <stdexcept>

namespace steelyard::app {
namespace {

constexpr std::size_t k_secret_bytes = 32;

std::string base64url(std::span<const unsigned char> bytes) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::string text;
  unsigned bits = 0;
  int have = 0;
  for (const unsigned char byte : bytes) {
    bits = (bits << 8U) | byte;
    for (have += 8; have >= 6; have -= 6) text += letters[(bits >> static_cast<unsigned>(have - 6)) & 63U];
  }
  if (have > 0) text += letters[(bits << static_cast<unsigned>(6 - have)) & 63U];
  return text;
}

}  // namespace

std::string random_secret() {
  std::array<unsigned char, k_secret_bytes> bytes{};
  if (RAND_bytes(bytes.data(), static_cast<int>(bytes.size())) != 1) {
    throw std::runtime_error("the machine gives no random numbers");  // nothing may go on without them
  }
  return base64url(bytes);
}

struct RunningDigest::State {
  EVP_MD_CTX* context = EVP_MD_CTX_new();
};

RunningDigest::RunningDigest() : state_(std::make_unique<State>()) {
  if (state_->context == nullptr || EVP_DigestInit_ex(state_->context, EVP_sha256(), nullptr) != 1) {
    throw std::runtime_error("the library has no SHA-256");
  }
}

RunningDigest::~RunningDigest() {
  EVP_MD_CTX_free(state_->context);
}

void RunningDigest::add(std::string_view bytes) {
  EVP_DigestUpdate(state_->context, bytes.data(), bytes.size());
}

std::string RunningDigest::finish() {
  std::array<unsigned char, 32> sum{};
  EVP_DigestFinal_ex(state_->context, sum.data(), nullptr);
  return {sum.begin(), sum.end()};
}

std::string sha256(std::string_view bytes) {
  RunningDigest digest;
  digest.add(bytes);
  return digest.finish();
}

bool same_bytes(std::string_view a, std::string_view b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

std::string hexadecimal(std::string_view bytes) {
  constexpr std::string_view digits = "0123456789abcdef";
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    text += digits[byte >> 4U];
    text += digits[byte & 15U];
  }
  return text;
}

}  // namespace steelyard::app
