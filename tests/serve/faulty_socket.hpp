#pragma once
/// Sockets that give a few bytes at a time and break at the n-th operation. Linked into a test, it stands in front of
/// the C library's accept, recv, recvmsg, send and sendmsg. Writes are whole: after a short one Boost.Asio rightly
/// waits to be told of room, which nobody would say here.

namespace steelyard::serve::faulty_socket {

/// Only calls from threads that have said this are counted and fail; the client of a test has its own thread.
void use_on_this_thread();

enum class Break {
  none,
  reset,  ///< reading and writing fail with ECONNRESET
  close,  ///< reading finds the end; writing sends half of it, then fails with EPIPE
};

/// The n-th operation from now on breaks, and every later one but accept: that one fails once, with EMFILE, and leaves
/// the connection waiting.   n  0 = none
void break_at(int n, Break how);
[[nodiscard]] bool has_broken();

}  // namespace steelyard::serve::faulty_socket
