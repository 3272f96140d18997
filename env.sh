export PYTHONPATH=/tmp/mine/src:/tmp/mine
