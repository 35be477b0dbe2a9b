// How much a question tells, for the time that it takes.
#pragma once

#include "armwise/solve/interview.hpp"
#include "belief_tables.hpp"

namespace armwise::solve {

struct Worth {
  double per_second = 0;
  Why why = Why::direction;  // what it is about most
};

Worth worth_of(const BeliefTables& tables, const Ask& ask, const Verdict& verdict, const Doubts& doubts);

}  // namespace armwise::solve
