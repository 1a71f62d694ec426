"""How long an example takes says how busy the machine is, not whether core is right."""

from hypothesis import HealthCheck, settings

settings.register_profile("core", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("core")
