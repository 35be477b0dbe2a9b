// Asio's own definitions, compiled once for the whole program.
#include <boost/asio/impl/src.hpp>
#include <utility>
