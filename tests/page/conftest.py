"""A client of the page."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from turnband.page import application


@pytest.fixture(scope="session")
def client() -> FlaskClient:
    client: FlaskClient = application(("bench.example",), printers=True).test_client()
    return client
