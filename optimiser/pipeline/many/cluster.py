"""The workers of a cluster that is there already, through dask.distributed, which not everyone has installed."""

from __future__ import annotations

from concurrent.futures import Future
from typing import TYPE_CHECKING

from optimiser.pipeline.inputs import Unusable
from optimiser.pipeline.many.crews import Gone
from optimiser.pipeline.many.rows import Row
from optimiser.pipeline.many.solving import Work
from optimiser.pipeline.many.tasks import Task
from optimiser.pipeline.program import program_digest

if TYPE_CHECKING:
    from distributed import Client

_ANSWER_S = 20  # to find the scheduler
_TRIES = 2  # each of them several in the scheduler's eyes, which blames all that were on a worker as it died


class Cluster:
    """The workers of a scheduler. It begins tasks anew whose workers died, and bounds how often by itself."""

    def __init__(self, address: str, work: Work) -> None:
        """
        Raises
        ------
        Unusable
            If dask is not installed, nobody answers there, or its workers run another program.
        """
        self._work = work
        self._client = _client(address)
        try:
            _check(self._client, address)
        except BaseException:
            self._client.close()
            raise
        from distributed import KilledWorker

        self.died: tuple[type[Exception], ...] = (KilledWorker,)
        self.tries = _TRIES
        self._executor = self._client.get_executor(pure=False)

    @property
    def room(self) -> int:
        """See `Crew`: workers come and go."""
        try:
            threads: dict[str, int] = self._client.nthreads()
        except OSError as error:  # it was looked for, for a while
            raise Gone from error
        return max(1, sum(threads.values()))

    def submit(self, task: Task) -> Future[Row]:
        """See `Crew`."""
        future: Future[Row] = self._executor.submit(self._work, task)
        return future

    def close(self) -> None:
        """See `Crew`: what a worker has begun it ends, for nobody."""
        self._executor.shutdown(wait=False)
        self._client.close()


def _client(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError:
        raise Unusable(
            "a cluster takes dask.distributed, which is not installed; expected pip install 'optimiser[cluster]'"
        ) from None
    try:
        return Client(address, timeout=_ANSWER_S, set_as_default=False)
    except (OSError, ValueError) as error:
        what = " ".join(str(error).split())
        raise Unusable(f"{address}: no scheduler answers ({what}); expected one, as tcp://host:8786") from None


def _check(client: Client, address: str) -> None:
    """Workers that lack the program, or have another one, would give other figures."""
    for worker, digest in client.run(program_digest, on_error="return").items():
        if digest != program_digest():
            what = f"cannot run the program ({digest})" if isinstance(digest, Exception) else "runs another program"
            raise Unusable(f"{address}: worker {worker} {what}; expected the same release installed there")
