// What the server's error codes mean to a user of ours. Source: PostgreSQL documentation, appendix "Error Codes".
#include <fmt/core.h>

#include "store/postgres_database.hpp"

namespace steelyard::store {
namespace {

struct Meaning {
  std::string_view state;  ///< the code, or its class
  Errc code;
  std::string_view sentence;  ///< with the remedy
};

constexpr Meaning k_meanings[] = {
    {"23503", Errc::bad_data, "a row names an athlete who is not in the store; add the athlete first"},
    {"23505", Errc::bad_data, "a row is there already"},
    {"23", Errc::bad_data, "a row does not fit the store"},
    {"22", Errc::bad_data, "a value cannot be stored"},
    {"25006", Errc::io, "the server only reads (a standby?); name the address of the main server with --data"},
    {"28", Errc::not_allowed, "the server refuses the role; check its name and password"},
    {"42501", Errc::not_allowed, "the role may not do this; connect with the role that owns the store"},
    {"40", Errc::busy, "somebody else wrote the same rows; nothing of this was stored, try again"},
    {"55P03", Errc::busy, "somebody else is writing to the store; try again in a moment"},
    {"53300", Errc::busy, "the server has no connection free; try again in a moment"},
    {"53", Errc::io, "the server is out of disk or memory; nothing was stored"},
    {"57", Errc::unavailable, "the server stops or does not answer; nothing was stored, try again when it is back"},
    {"58", Errc::io, "the server's disk reports an error; nothing was stored"},
    {"08", Errc::unavailable, "the connection to the server broke; nothing was stored, try again"},
    {"XX", Errc::bad_data, "the store is damaged; put a backup in its place"},
};

}  // namespace

Error meaning_of(const PGresult* result, const std::string& where) {
  const auto field = [&](int name) {
    const char* text = PQresultErrorField(result, name);
    return std::string(text == nullptr ? "" : text);
  };
  const std::string state = field(PG_DIAG_SQLSTATE);
  const std::string detail = field(PG_DIAG_MESSAGE_PRIMARY);
  for (const auto& m : k_meanings) {
    if (state.starts_with(m.state)) return {m.code, fmt::format("{} ({})", m.sentence, detail), where};
  }
  return {Errc::failed, fmt::format("the store could not do this ({})", detail), where};
}

}  // namespace steelyard::store
