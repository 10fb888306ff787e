"""What is asked about a file that was sent: to take it in."""

from __future__ import annotations

from slackwater.api.answers.asked import Asked, Id, Said, Words, asked_like


class AcceptAsked(Asked):
    """Why a file takes the place of what stands."""

    model_config = asked_like(
        {"id": "0f8fad5b-d9cb-469f-a165-70867728950e", "why": "this year's register"}
    )

    id: Id
    why: Said
    by: Words = "lead"
