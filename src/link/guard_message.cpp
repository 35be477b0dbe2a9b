#include "guard_message.hpp"

#include <poll.h>
#include <sys/socket.h>
#include <sys/uio.h>
#include <time.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>
#include <cstring>

namespace armwise::link {
namespace {

// The text's unused end does not travel.
std::size_t size_of(const GuardMessage& message) {
  return offsetof(GuardMessage, text) + message.lengths[0] + message.lengths[1] + message.lengths[2];
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

GuardMessage GuardMessage::of(const StopSpeech& speech) {
  GuardMessage message = plain(Kind::speech);
  const std::array<const std::string*, 3> parts{&speech.line_end, &speech.stop, &speech.acknowledged_by};
  std::size_t at = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    std::memcpy(message.text.data() + at, parts[i]->data(), parts[i]->size());
    message.lengths[i] = static_cast<std::uint16_t>(parts[i]->size());
    at += parts[i]->size();
  }
  return message;
}

GuardMessage GuardMessage::note_in(const std::string& file) {
  GuardMessage message = plain(Kind::note);
  std::memcpy(message.text.data(), file.data(), file.size());
  message.lengths[0] = static_cast<std::uint16_t>(file.size());
  return message;
}

StopSpeech GuardMessage::speech() const {
  const char* const at = text.data();
  return {std::string(at, lengths[0]), std::string(at + lengths[0], lengths[1]),
          std::string(at + lengths[0] + lengths[1], lengths[2])};
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
