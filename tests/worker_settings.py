"""The settings of the project, with work that tests can watch."""

from program.settings import *  # noqa: F403  # all of them

JOB_WORK = "tests.workload.WORK"
JOB_SCHEDULES = "tests.workload.SCHEDULES"
