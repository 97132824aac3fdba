#include "store/database.hpp"

namespace steelyard::store {

Result<std::int64_t> Database::number(const std::string& sql) {
  return Statement(*this, sql).number();
}

Result<void> Statement::run() {
  for (;;) {
    STEELYARD_TRY_ASSIGN(const bool row, step());
    if (!row) return {};
  }
}

Result<bool> Statement::exists() {
  auto row = step();
  reset();
  return row;
}

Result<std::int64_t> Statement::number() {
  STEELYARD_TRY_ASSIGN(const bool row, step());
  const std::int64_t value = row ? integer(0) : 0;
  reset();
  return value;
}

Transaction::~Transaction() {
  if (!open_ || !db_.in_transaction()) return;
  // Nothing can be done about a failure here: the work is then taken back when the connection closes.
  static_cast<void>(db_.run(nested_ ? "rollback to work; release work" : "rollback"));
}

Result<void> Transaction::begin() {
  return begin(false);
}

Result<void> Transaction::begin_alone() {
  return begin(true);
}

Result<void> Transaction::begin(bool alone) {
  nested_ = db_.in_transaction();
  STEELYARD_TRY(nested_ ? db_.run("savepoint work") : db_.begin_writing(alone));
  open_ = true;
  if (nested_ && alone) return db_.lock_everybody();
  return {};
}

Result<void> Transaction::commit() {
  STEELYARD_TRY(nested_ ? db_.run("release work") : db_.commit());
  open_ = false;
  return {};
}

Snapshot::~Snapshot() {
  if (open_ && db_.in_transaction()) static_cast<void>(db_.run("rollback"));
}

Result<void> Snapshot::begin() {
  if (db_.in_transaction()) return {};
  STEELYARD_TRY(db_.begin_reading());
  open_ = true;
  return {};
}

}  // namespace steelyard::store
