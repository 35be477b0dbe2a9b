#include "guard_message.hpp"

#include <poll.h>
#include <sys/socket.h>
#include <sys/uio.h>
#include <time.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>
#include <cstring>
#include <numeric>
#include <stdexcept>

namespace armwise::link {
namespace {

// The text's unused end does not travel.
std::size_t size_of(const GuardMessage& message) {
  return std::accumulate(message.lengths.begin(), message.lengths.end(), offsetof(GuardMessage, text));
}

union OneDescriptor {
  cmsghdr alignment;
  std::array<char, CMSG_SPACE(sizeof(int))> bytes;
};

int descriptor_in(msghdr& header) {
  int descriptor = -1;
  for (cmsghdr* part = CMSG_FIRSTHDR(&header); part != nullptr; part = CMSG_NXTHDR(&header, part)) {
    if (part->cmsg_level == SOL_SOCKET && part->cmsg_type == SCM_RIGHTS) {
      std::memcpy(&descriptor, CMSG_DATA(part), sizeof descriptor);
    }
  }
  return descriptor;
}

}  // namespace

GuardMessage GuardMessage::plain(Kind kind, std::int64_t number) {
  GuardMessage message;
  message.kind = kind;
  message.number = number;
  return message;
}

GuardMessage GuardMessage::with_parts(Kind kind, const std::vector<std::string>& parts, std::int64_t number) {
  GuardMessage message = plain(kind, number);
  std::size_t at = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].size() > message.text.size() - at) throw std::length_error("a message to the guard");
    std::memcpy(message.text.data() + at, parts[i].data(), parts[i].size());
    message.lengths.at(i) = static_cast<std::uint16_t>(parts[i].size());
    at += parts[i].size();
  }
  return message;
}

std::vector<std::string> GuardMessage::parts() const {
  std::vector<std::string> found;
  const char* at = text.data();
  for (const std::uint16_t length : lengths) {
    found.emplace_back(at, length);
    at += length;
  }
  return found;
}

bool send_message(int socket, const GuardMessage& message, int descriptor_too) {
  iovec body{const_cast<GuardMessage*>(&message), size_of(message)};
  msghdr header{};
  header.msg_iov = &body;
  header.msg_iovlen = 1;
  OneDescriptor control{};
  if (descriptor_too >= 0) {
    header.msg_control = control.bytes.data();
    header.msg_controllen = control.bytes.size();
    cmsghdr* part = CMSG_FIRSTHDR(&header);
    part->cmsg_level = SOL_SOCKET;
    part->cmsg_type = SCM_RIGHTS;
    part->cmsg_len = CMSG_LEN(sizeof descriptor_too);
    std::memcpy(CMSG_DATA(part), &descriptor_too, sizeof descriptor_too);
  }
  ssize_t sent = 0;
  do {
    sent = sendmsg(socket, &header, MSG_DONTWAIT | MSG_NOSIGNAL);
  } while (sent < 0 && errno == EINTR);
  return sent == static_cast<ssize_t>(body.iov_len);
}

GuardReceived receive_message(int socket) {
  GuardReceived received;
  iovec body{&received.message, sizeof received.message};
  OneDescriptor control{};
  msghdr header{};
  header.msg_iov = &body;
  header.msg_iovlen = 1;
  header.msg_control = control.bytes.data();
  header.msg_controllen = control.bytes.size();
  ssize_t count = 0;
  do {
    count = recvmsg(socket, &header, MSG_DONTWAIT | MSG_CMSG_CLOEXEC);
  } while (count < 0 && errno == EINTR);
  if (count < 0 && errno == EAGAIN) return received;
  received.status = count <= 0 ? GuardReceived::Status::gone : GuardReceived::Status::message;
  received.descriptor = descriptor_in(header);
  return received;
}

std::int64_t monotonic_now() {
  timespec now{};
  clock_gettime(CLOCK_MONOTONIC, &now);
  constexpr std::int64_t nanoseconds = 1'000'000'000;
  return now.tv_sec * nanoseconds + now.tv_nsec;
}

void wait_readable(int socket, Duration within) {
  pollfd wanted{socket, POLLIN, 0};
  poll(&wanted, 1, static_cast<int>(within.count()));
}

}  // namespace armwise::link
