// The least that a program can be that is linked with the same libraries as armwise.
#include <cstdio>

int main() {
  std::puts("hello");
}
